#include "bakewright/shop/keep_prediction.hpp"

#include "bakewright/book/trace_repository.hpp"
#include "bakewright/shop/entered_text.hpp"
#include "bakewright/shop/predict_record.hpp"

namespace bakewright::shop {

book::BakeId keep_prediction(book::Book& book, const PredictedBake& predicted) {
    book::NewBake bake;
    bake.kind = book::BakeKind::predicted;
    bake.title = entered_text("--title", predicted.title);
    bake.program_version = predicted.program_version;
    bake.options_json = options_json(predicted.asked, predicted.air_channel);
    bake.started_at = predicted.started_at;
    bake.paired_bake = predicted.log;
    book::Transaction transaction(book);
    bake.documents = {keep(book, predicted.shell), keep(book, predicted.booth)};
    if (predicted.cycle != nullptr) bake.documents.push_back(keep(book, *predicted.cycle));
    if (predicted.coating != nullptr) bake.documents.push_back(keep(book, *predicted.coating));
    const book::BakeId id = book::BakeRepository(book).add(bake);
    book::TraceRepository(book).store(id, predicted.traces);
    transaction.commit();
    return id;
}

}  // namespace bakewright::shop
