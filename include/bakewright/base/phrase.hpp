#pragma once

#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace bakewright {

/// A sentence or a part of one in which names of places (zones, cavities, items) are kept apart from the words. Whoever shows it
/// to people puts titles in place of the names; text that happens to read like a name ("film", "interior") stays as it is.
class Phrase {
public:
    struct Part {
        std::string text;
        bool is_place = false;
        bool operator==(const Part&) const = default;
    };

    Phrase() = default;
    Phrase(std::string words) { add(std::move(words)); }       // NOLINT(google-explicit-constructor): most have no place
    Phrase(const char* words) : Phrase(std::string(words)) {}  // NOLINT(google-explicit-constructor)
    [[nodiscard]] static Phrase place(std::string name) { return Phrase().add_place(std::move(name)); }

    Phrase& add(std::string words) { return add(std::move(words), false); }
    Phrase& add(const char* words) { return add(std::string(words), false); }
    Phrase& add_place(std::string name) { return add(std::move(name), true); }
    Phrase& add(const Phrase& other) {
        parts_.insert(parts_.end(), other.parts_.begin(), other.parts_.end());
        return *this;
    }

    [[nodiscard]] const std::vector<Part>& parts() const noexcept { return parts_; }
    [[nodiscard]] std::string text() const {
        std::string joined;
        for (const Part& part : parts_) joined += part.text;
        return joined;
    }
    /// Puts in place of each name what is made of it.
    void rename_places(const std::function<std::string(const std::string&)>& rename) {
        for (Part& part : parts_)
            if (part.is_place) part.text = rename(part.text);
    }

    bool operator==(const Phrase&) const = default;

private:
    Phrase& add(std::string text, bool is_place) {
        if (!text.empty()) parts_.push_back({std::move(text), is_place});
        return *this;
    }

    std::vector<Part> parts_;
};

/// Their texts.
[[nodiscard]] inline std::vector<std::string> texts_of(const std::vector<Phrase>& phrases) {
    std::vector<std::string> texts;
    for (const Phrase& phrase : phrases) texts.push_back(phrase.text());
    return texts;
}

}  // namespace bakewright
