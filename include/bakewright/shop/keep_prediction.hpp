#pragma once

#include <optional>
#include <string>

#include "bakewright/bake/predict.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/ids.hpp"
#include "bakewright/shop/stored_bake.hpp"

namespace bakewright::shop {

/// A prediction and everything it was computed from.
struct PredictedBake {
    std::string title;
    std::string program_version;
    std::string started_at;  ///< ISO 8601; empty where unknown
    const profile::ShellProfile& shell;
    const bake::Booth& booth;
    const bake::Cycle* cycle = nullptr;  ///< null where a log's air drove it
    const cure::Coating* coating = nullptr;
    const bake::PredictOptions& asked;
    const TraceSet& traces;
    std::optional<book::BakeId> log{};  ///< whose air drove it, in which channel
    std::string air_channel{};
};

/// Keeps it as a bake, whole or not at all.
book::BakeId keep_prediction(book::Book& book, const PredictedBake& predicted);

}  // namespace bakewright::shop
