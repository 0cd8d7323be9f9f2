// SPDX-License-Identifier: Apache-2.0
#include "same_vehicles.hpp"

#include <algorithm>
#include <iterator>

#include "connection.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kComparing = "compare the vehicles of two books";
constexpr char kBetween = '\x1f';
constexpr std::size_t kShownDigits = 8;

/// What shows that two histories of one name are those of one vehicle, sorted; each begins with the name.
std::vector<std::string> proofs_of(Connection& connection) {
    std::vector<std::string> proofs;
    for (const std::string_view sql : {"SELECT shell, coat.name, applied_at, sha256 FROM coat JOIN document USING (document_id)",
                                       "SELECT shell, 'bake', uid, '' FROM history_bake JOIN bake USING (bake_id)"}) {
        Statement query(connection, sql, kComparing);
        while (query.step())
            proofs.push_back(query.text(0) + kBetween + query.text(1) + kBetween + query.text(2) + kBetween + query.text(3));
    }
    std::sort(proofs.begin(), proofs.end());
    return proofs;
}

bool share_a_proof(const std::vector<std::string>& one, const std::vector<std::string>& other, const std::string& shell) {
    std::vector<std::string> shared;
    std::set_intersection(one.begin(), one.end(), other.begin(), other.end(), std::back_inserter(shared));
    return std::any_of(shared.begin(), shared.end(),
                       [&](const std::string& proof) { return proof.starts_with(shell + kBetween); });
}

bool is_same_number(const std::string& one, const std::string& other) { return !one.empty() && one == other; }

}  // namespace

SameVehicles::SameVehicles(Book& book, Book& other)
    : proofs_here_(proofs_of(book.connection())), proofs_there_(proofs_of(other.connection())) {
    const std::vector<Vehicle> known = IdentityRepository(book).vehicles();
    std::vector<Vehicle> others = IdentityRepository(other).vehicles();
    // A uid is surer than anything else: none of those here goes to another first.
    std::stable_partition(others.begin(), others.end(), [&](const Vehicle& there) {
        return std::any_of(known.begin(), known.end(), [&](const Vehicle& here) { return here.uid == there.uid; });
    });
    for (const Vehicle& there : others) place(there, known);
    for (const One& one : all_) names_[one.there.shell] = one.here;
}

void SameVehicles::place(const Vehicle& there, const std::vector<Vehicle>& known) {
    const auto is_taken = [&](const std::string& name) {
        return std::any_of(known.begin(), known.end(), [&](const Vehicle& one) { return one.shell == name; }) ||
               std::any_of(all_.begin(), all_.end(), [&](const One& one) { return one.here == name; });
    };
    const auto is_placed = [&](const Vehicle& here) {
        return std::any_of(all_.begin(), all_.end(), [&](const One& one) { return one.uid_here == here.uid; });
    };
    const auto find = [&](const auto& is_same) {
        return std::find_if(known.begin(), known.end(), [&](const Vehicle& here) { return is_same(here) && !is_placed(here); });
    };
    auto same = find([&](const Vehicle& here) { return here.uid == there.uid; });
    if (same == known.end())
        same = find([&](const Vehicle& here) {
            return is_same_number(here.job_number, there.job_number) || is_same_number(here.maker_number, there.maker_number);
        });
    if (same == known.end())
        same = find([&](const Vehicle& here) {
            const bool is_contradicted = (!here.job_number.empty() && !there.job_number.empty()) ||
                                         (!here.maker_number.empty() && !there.maker_number.empty());
            return here.shell == there.shell && !is_contradicted && share_a_proof(proofs_here_, proofs_there_, here.shell);
        });
    if (same != known.end()) {
        all_.push_back({there, same->shell, same->uid, false});
        return;
    }
    if (!is_taken(there.shell)) {
        all_.push_back({there, there.shell, {}, false});
        return;
    }
    const std::string plain = there.shell.substr(0, there.shell.find(" #"));
    std::string name = plain + " #" + (there.job_number.empty() ? there.uid.substr(0, kShownDigits) : there.job_number);
    if (is_taken(name)) name = plain + " #" + there.uid;
    all_.push_back({there, name, {}, true});
}

bool SameVehicles::any_other_name() const {
    return std::any_of(all_.begin(), all_.end(), [](const One& one) { return one.here != one.there.shell; });
}

Aggregate SameVehicles::here(Aggregate there) const {
    if (there.shell().empty()) return there;
    const auto at = names_.find(there.key.front());
    if (at != names_.end()) there.key.front() = at->second;
    return there;
}

void SameVehicles::rename_in(const std::filesystem::path& copy) const {
    Connection connection(copy, Mode::read_write, {});
    connection.execute("PRAGMA foreign_keys = OFF; BEGIN IMMEDIATE", kComparing);
    // By way of names that no history has: one may take another's.
    const std::string aside(1, '\x1e');
    const auto rename = [&](const std::string& from, const std::string& to) {
        for (const std::string_view table : {"coat", "history_bake", "history_bake_zone", "history_bake_item", "vehicle"})
            Statement(connection, "UPDATE " + std::string(table) + " SET shell = ?2 WHERE shell = ?1", kComparing)
                .bind(from, to)
                .run();
    };
    for (const One& one : all_) rename(one.there.shell, aside + one.there.shell);
    for (const One& one : all_) rename(aside + one.there.shell, one.here);
    connection.execute("COMMIT", kComparing);
}

}  // namespace bakewright::book
