// SPDX-License-Identifier: Apache-2.0
#include "identity.hpp"

#include "bakewright/base/error.hpp"
#include "bakewright/book/hash.hpp"
#include "bakewright/book/identity_repository.hpp"
#include "journal.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kNaming = "name vehicles and sites";
constexpr std::string_view kVehicleColumns = "SELECT uid, shell, job_number, maker_number FROM vehicle ";

Vehicle vehicle_of(const Statement& row) { return {row.text(0), row.text(1), row.text(2), row.text(3)}; }

std::string own_uid(Connection& connection) {
    Statement query(connection, "SELECT uid FROM book", kNaming);
    if (!query.step()) connection.damaged("the book has lost its own row");
    return query.text(0);
}

void insert_vehicle(Connection& connection, std::string_view uid, std::string_view shell) {
    Statement(connection, "INSERT INTO vehicle (uid, shell, job_number, maker_number) VALUES (?1, ?2, '', '')", kNaming)
        .bind(uid, shell)
        .run();
}

Aggregate aggregate_of_vehicle(std::string uid) { return {AggregateKind::vehicle, {std::move(uid)}}; }

/// A number is one vehicle's.
void require_free(Connection& connection, std::string_view column, std::string_view number, std::string_view shell,
                  const char* key) {
    if (number.empty()) return;
    Statement query(connection, "SELECT shell FROM vehicle WHERE " + std::string(column) + " = ?1 AND shell <> ?2", kNaming);
    if (query.bind(number, shell).step())
        connection.not_there(key, "'" + std::string(number) + "' is the number of '" + query.text(0) + "' already");
}

}  // namespace

void name_vehicles(Connection& connection) {
    Statement query(connection, "SELECT shell FROM coat UNION SELECT shell FROM history_bake ORDER BY 1", kNaming);
    std::vector<std::string> shells;
    while (query.step()) shells.push_back(query.text(0));
    const std::string book = own_uid(connection);
    for (const std::string& shell : shells) {
        const std::string uid = sha256_hex("vehicle " + book + " " + shell).substr(0, 32);
        insert_vehicle(connection, uid, shell);
        was_added(connection, aggregate_of_vehicle(uid));
    }
}

void ensure_vehicle(Connection& connection, std::string_view shell) {
    Statement known(connection, "SELECT 1 FROM vehicle WHERE shell = ?1", kNaming);
    if (known.bind(shell).step()) return;
    Statement random(connection, "SELECT lower(hex(randomblob(16)))", kNaming);
    random.step();
    const std::string uid = random.text(0);
    insert_vehicle(connection, uid, shell);
    was_added(connection, aggregate_of_vehicle(uid));
}

std::vector<Vehicle> IdentityRepository::vehicles() const {
    Statement query(*connection_, std::string(kVehicleColumns) + "ORDER BY shell", kNaming);
    std::vector<Vehicle> found;
    while (query.step()) found.push_back(vehicle_of(query));
    for (const Vehicle& one : found) check_rows(*connection_, aggregate_of_vehicle(one.uid));
    return found;
}

std::optional<Vehicle> IdentityRepository::vehicle(std::string_view shell) const {
    Statement query(*connection_, std::string(kVehicleColumns) + "WHERE shell = ?1", kNaming);
    if (!query.bind(shell).step()) return std::nullopt;
    Vehicle found = vehicle_of(query);
    check_rows(*connection_, aggregate_of_vehicle(found.uid));
    return found;
}

void IdentityRepository::set_numbers(std::string_view shell, std::string_view job_number, std::string_view maker_number) {
    Transaction transaction(*connection_);
    const std::optional<Vehicle> found = vehicle(shell);
    if (!found) connection_->not_there("shell", "'" + std::string(shell) + "' has no history in this book");
    require_free(*connection_, "job_number", job_number, shell, "job");
    require_free(*connection_, "maker_number", maker_number, shell, "maker-number");
    about_to_change(*connection_, aggregate_of_vehicle(found->uid));
    Statement(*connection_, "UPDATE vehicle SET job_number = ?2, maker_number = ?3 WHERE uid = ?1", kNaming)
        .bind(found->uid, job_number, maker_number)
        .run();
    transaction.commit();
}

std::vector<Site> IdentityRepository::sites() const {
    Statement query(*connection_, "SELECT book_uid, name FROM site ORDER BY name, book_uid", kNaming);
    std::vector<Site> found;
    while (query.step()) found.push_back({query.text(0), query.text(1)});
    for (const Site& one : found) check_rows(*connection_, Aggregate{AggregateKind::site, {one.book_uid}});
    return found;
}

void IdentityRepository::set_site(std::string_view name) {
    ensure(!name.empty(), "a site has a name");
    Transaction transaction(*connection_);
    const std::string book = own_uid(*connection_);
    const Aggregate aggregate{AggregateKind::site, {book}};
    about_to_change(*connection_, aggregate);
    Statement(*connection_, "INSERT INTO site (book_uid, name) VALUES (?1, ?2) ON CONFLICT (book_uid) DO UPDATE SET name = ?2",
              kNaming)
        .bind(book, name)
        .run();
    transaction.commit();
}

std::optional<Site> IdentityRepository::origin_of(BakeId bake) const {
    Statement query(*connection_,
                    "SELECT j.book_uid, coalesce(site.name, '') FROM bake JOIN journal AS j ON j.kind = 'bake' AND j.identity = "
                    "bake.uid LEFT JOIN site ON site.book_uid = j.book_uid WHERE bake_id = ?1 ORDER BY j.written_at, j.entry_id "
                    "LIMIT 1",
                    kNaming);
    if (!query.bind(bake).step()) return std::nullopt;
    return Site{query.text(0), query.text(1)};
}

}  // namespace bakewright::book
