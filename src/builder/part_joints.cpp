// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <functional>

#include "bakewright/builder/joints.hpp"
#include "bakewright/profile/edit.hpp"
#include "bakewright/profile/write.hpp"
#include "part_text.hpp"

/// What holds a part to its neighbours, as it is said anew, put into the text of its shell.
namespace bakewright::builder {
namespace {

using profile::text_value;
using profile::with_remark;
using profile::with_value;
using profile::without_value;

class JointChange {
public:
    JointChange(std::string text, const bake::Shell& before, const std::string& part, PartSaid& said,
                const profile::Library& library)
        : text_(std::move(text)),
          read_(read_good_shell(text_, library)),
          shell_(read_.record.shell),
          before_(before),
          zone_(shell_.zones[index_of_part(shell_, part)]),
          said_(said),
          library_(library) {}

    std::string run() {
        change_joints();
        add_joint();
        std::ranges::sort(leaving_, std::greater<>());
        for (const std::size_t link : leaving_) text_ = without_value(text_, fmt::format("link[{}]", link));
        static_cast<void>(read_good_shell(text_, library_));
        return std::move(text_);
    }

private:
    [[nodiscard]] static bool runs_on_over(const bake::Zone& sheet, const bake::Zone& other) {
        const bool stands_inside =
            other.outer.view != bake::FaceView::booth ||
            std::ranges::any_of(other.places, [](const auto& place) { return place.on == bake::DrawnOn::inside; });
        return sheet.coated && looks_like_section(other) && stands_inside;
    }

    /// Pieces, or metres. @param now  what it is where nothing is said
    double extent_of(const std::string& key, const bake::Zone& from, const bake::Zone& to, Seam how, std::optional<double> now) {
        const std::string text = said_.said(key).value_or("");
        if (!text.empty()) {
            if (!is_by_piece(how))
                return said_.hear(
                    key, [&] { return heard(text, {.dimension = Dimension::length, .bare = "m", .takes_bare = true}).value; });
            double count = 0.0;
            const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), count);
            if (error == std::errc{} && count >= 1.0 && count <= 10000.0) return count;
            PartSaid::ask(key, fmt::format("'{}' is how many? Write such as 6.", text));
        }
        if (now) return *now;
        const std::optional<double> drawn_m = drawn_seam_m(shell_, from, to);
        if (!drawn_m)
            PartSaid::ask(key,
                          is_by_piece(how) ? "How many are there? Write such as 6." : "How long is the seam? Write such as 4 m.");
        const double extent = is_by_piece(how) ? usual_pieces(*drawn_m) : *drawn_m;
        said_.tell(key, is_by_piece(how) ? fmt::format("{}, for {} m on the drawing", shown(extent), shown(*drawn_m))
                                         : fmt::format("{} m, from the drawing", shown(extent)));
        return extent;
    }

    static Joint joint_between(const bake::Zone& from, const bake::Zone& to, Seam how, double extent) {
        if (is_by_piece(how)) return joint_of(from.name, to.name, path_through(how, extent));
        const SeamPath path = seam_path({&from, looks_like_section(from), runs_on_over(from, to)},
                                        {&to, looks_like_section(to), runs_on_over(to, from)}, how, extent);
        return joint_of(from.name, to.name, path, extent);
    }

    /// What the extent of a joint is by what is known of it, however it is to be held.
    static std::optional<double> extent_now(Seam how, const std::optional<HeldBy>& now, std::optional<double> seam_m) {
        if (now && is_by_piece(now->how) == is_by_piece(how)) return now->extent;
        if (!seam_m) return std::nullopt;
        return is_by_piece(how) ? usual_pieces(*seam_m) : *seam_m;
    }

    void change_joint(std::size_t index) {
        const std::string how_key = fmt::format("joint[{}]", index), extent_key = fmt::format("extent[{}]", index);
        const std::string path = fmt::format("link[{}]", index);
        const bake::Link& link = shell_.links[index];
        if (!said_.said(how_key) && !said_.said(extent_key)) return follow(path, link);
        const auto now = held_by(profile::remark_behind(text_, path + ".conductance"));
        const std::string words = said_.said(how_key).value_or("");
        if (words.empty() && !now) return;  // a number that somebody wrote stays
        const Seam how = words.empty() ? now->how : said_.hear(how_key, [&] { return heard_seam(words); });
        if (how == Seam::not_touching) {
            leaving_.push_back(index);
            return;
        }
        const bake::Zone &from = *shell_.find_zone(link.from), &to = *shell_.find_zone(link.to);
        const double extent = extent_of(extent_key, from, to, how, extent_now(how, now, link.seam_m));
        if (now && now->how == how && now->extent == extent) return;
        put_joint(path, joint_between(from, to, how, extent));
    }

    /// A heat path that followed from the sheets follows them still; one that did not is left to who wrote it.
    void follow(const std::string& path, const bake::Link& link) {
        const auto held = held_by(profile::remark_behind(text_, path + ".conductance"));
        if (!held) return;
        const auto by = [&](const bake::Shell& shell) {
            return joint_between(*shell.find_zone(link.from), *shell.find_zone(link.to), held->how, held->extent);
        };
        if (by(before_).link.conductance_w_per_k != link.conductance_w_per_k) return;
        const Joint now = by(shell_);
        if (now.link.conductance_w_per_k != link.conductance_w_per_k) put_joint(path, now);
    }

    void put_joint(const std::string& path, const Joint& joint) {
        text_ = without_value(text_, path + ".contact");
        text_ = with_value(text_, path + ".conductance", text_value(fmt::format("{} W/K", joint.link.conductance_w_per_k)));
        text_ = with_remark(text_, path + ".conductance", joint.remark);
        if (joint.link.seam_m) {
            text_ = with_value(text_, path + ".seam", text_value(fmt::format("{} m", *joint.link.seam_m)));
        } else {
            text_ = without_value(text_, path + ".seam");
            text_ = without_value(text_, path + ".seam_width");
        }
    }

    void change_joints() {
        for (std::size_t i = 0; i < shell_.links.size(); ++i)
            if (shell_.links[i].from == zone_.name || shell_.links[i].to == zone_.name) change_joint(i);
    }

    void add_joint() {
        const auto other = said_.said("join");
        if (!other || other->empty()) return;
        const bake::Zone& to = shell_.zones[index_of_part(shell_, *other)];
        if (to.name == zone_.name) PartSaid::ask("join", "A part is not joined to itself.");
        const Seam how = said_.hear("join_how", [&] { return heard_seam(said_.said("join_how").value_or("")); });
        if (how == Seam::not_touching) return;
        const Joint joint = joint_between(zone_, to, how, extent_of("join_extent", zone_, to, how, {}));
        bake::Shell more;
        more.links.push_back(joint.link);
        text_ = profile::with_element(
            text_, "link", profile::hand_elements(more, library_, {.remarks = {{"link[0].conductance", joint.remark}}}));
    }

    std::string text_;
    ReadShell read_;  ///< of the text as it was given
    const bake::Shell& shell_;
    const bake::Shell& before_;
    const bake::Zone& zone_;
    PartSaid& said_;
    const profile::Library& library_;
    std::vector<std::size_t> leaving_{};  ///< links that go
};

}  // namespace

std::string with_joints_said(std::string text, const bake::Shell& before, const std::string& part, PartSaid& said,
                             const profile::Library& library) {
    return JointChange(std::move(text), before, part, said, library).run();
}

}  // namespace bakewright::builder
