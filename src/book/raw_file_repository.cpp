// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/raw_file_repository.hpp"

#include <span>

#include "bakewright/base/work.hpp"
#include "bakewright/book/hash.hpp"
#include "bakewright/codec/compression.hpp"
#include "journal.hpp"
#include "rows.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kStoringFile = "store a probe file";
constexpr std::string_view kReadingFile = "read a probe file";
/// Bounds the memory that storing and fetching take beside the file, and keeps each piece far below SQLite's 1 GB.
constexpr std::size_t kPieceBytes = std::size_t{4} << 20U;

constexpr std::string_view kSelect =
    "SELECT raw_file_id, original_name, sha256, size_bytes, stored_at, (SELECT coalesce(sum(length(data)), 0) FROM "
    "raw_file_piece "
    "WHERE raw_file_piece.raw_file_id = raw_file.raw_file_id) FROM raw_file ";

RawFile raw_file_of(const Statement& row) {
    return {.id = row.id<RawFileId>(0),
            .original_name = row.text(1),
            .sha256 = row.text(2),
            .size_bytes = row.count(3),
            .stored_bytes = row.count(5),
            .stored_at = row.text(4)};
}

std::optional<RawFile> first_of(Statement& query) { return query.step() ? std::optional(raw_file_of(query)) : std::nullopt; }

std::string label(const RawFile& file) { return "probe file " + number_text(file.id) + " ('" + file.original_name + "')"; }

constexpr std::string_view kInsertPiece =
    "INSERT INTO raw_file_piece (raw_file_id, position, size_bytes, data) VALUES (?1, ?2, ?3, ?4)";

void insert_pieces(Connection& connection, RawFileId id, std::string_view content) {
    Statement insert(connection, kInsertPiece, kStoringFile);
    for (std::size_t position = 0; position * kPieceBytes < content.size(); ++position) {
        const std::string_view piece = content.substr(position * kPieceBytes, kPieceBytes);
        const std::string packed = codec::compress(piece, codec::Effort::quick);
        insert.bind(id, position, piece.size(), Blob{packed}).run();
    }
}

RawFileId insert_file(Connection& connection, std::string_view name, std::string_view sha256, std::uint64_t size_bytes) {
    Statement(connection, "INSERT INTO raw_file (original_name, sha256, size_bytes, stored_at) VALUES (?1, ?2, ?3, ?4)",
              kStoringFile)
        .bind(name, sha256, size_bytes, connection.now())
        .run();
    return RawFileId{connection.last_insert_id()};
}

void read_piece(const FileBytes& file, std::uint64_t offset, std::string& piece) {
    piece.resize(kPieceBytes);
    piece.resize(file.read_at(offset, piece));
}

std::string unpack_piece(const Connection& connection, const RawFile& file, const Statement& row) {
    const auto size = row.count(0);
    if (size > kPieceBytes) connection.damaged(label(file) + ": a piece is larger than any that is stored");
    try {
        return codec::decompress(row.blob(1), size);
    } catch (const codec::DamagedBytes& damage) {
        connection.damaged(label(file) + ": " + damage.what());
    }
}

}  // namespace

PackedFile::PackedFile(const FileBytes& file) {
    Sha256 hash;
    std::string piece, compressed_piece, packed;
    std::uint64_t offset = 0;
    Background compressing;  // last: it ends before what it works on
    const auto finish = [&] {
        compressing.wait();
        if (packed.empty()) return;
        packed_.write_at(offset, packed);
        pieces_.push_back({offset, packed.size(), compressed_piece.size()});
        offset += packed.size();
    };
    for (read_piece(file, 0, piece); !piece.empty(); read_piece(file, size_bytes_, piece)) {
        size_bytes_ += piece.size();
        hash.update(piece);
        finish();
        std::swap(piece, compressed_piece);
        compressing.begin([&] { packed = codec::compress(compressed_piece, codec::Effort::quick); });
    }
    finish();
    sha256_ = hash.hex();
}

RawFileId RawFileRepository::store(std::string_view original_name, std::string_view content) {
    const std::string sha256 = sha256_hex(content);
    Transaction transaction(*connection_);
    const auto known = find_by_sha256(sha256);
    const RawFileId id = known ? known->id : insert_file(*connection_, original_name, sha256, content.size());
    if (!known) insert_pieces(*connection_, id, content);
    if (!known) was_added(*connection_, aggregate_of(*connection_, id));
    transaction.commit();
    return id;
}

RawFileId RawFileRepository::store(std::string_view original_name, const PackedFile& file) {
    Transaction transaction(*connection_);
    const auto known = find_by_sha256(file.sha256());
    const RawFileId id = known ? known->id : insert_file(*connection_, original_name, file.sha256(), file.size_bytes());
    Statement insert(*connection_, kInsertPiece, kStoringFile);
    std::size_t position = 0;
    for (const PackedFile::Piece& piece : known ? std::span<const PackedFile::Piece>() : std::span(file.pieces_)) {
        std::string packed(piece.packed_bytes, '\0');
        file.packed_.read_at(piece.offset, packed);
        insert.bind(id, position++, piece.size_bytes, Blob{packed}).run();
    }
    if (!known) was_added(*connection_, aggregate_of(*connection_, id));
    transaction.commit();
    return id;
}

void RawFileRepository::fetch(RawFileId id, const std::function<void(std::string_view)>& take) const {
    const ReadScope scope(*connection_);
    const auto file = find(id);
    if (!file) connection_->not_there("probe file", "there is no probe file " + number_text(id));
    Statement query(*connection_, "SELECT size_bytes, data FROM raw_file_piece WHERE raw_file_id = ?1 ORDER BY position",
                    kReadingFile);
    query.bind(id);
    check_rows(*connection_, aggregate_of(*connection_, id));
    Sha256 hash;
    while (query.step()) {
        const std::string piece = unpack_piece(*connection_, *file, query);
        hash.update(piece);
        take(piece);
    }
    if (hash.hex() != file->sha256) connection_->damaged(label(*file) + " no longer has its hash");
}

std::string RawFileRepository::fetch(RawFileId id) const {
    std::string content;
    fetch(id, [&](std::string_view piece) { content += piece; });
    return content;
}

std::optional<RawFile> RawFileRepository::find(RawFileId id) const {
    Statement query(*connection_, std::string(kSelect) + "WHERE raw_file_id = ?1", kReadingFile);
    return first_of(query.bind(id));
}

std::optional<RawFile> RawFileRepository::find_by_sha256(std::string_view sha256) const {
    Statement query(*connection_, std::string(kSelect) + "WHERE sha256 = ?1", kReadingFile);
    return first_of(query.bind(sha256));
}

std::vector<RawFile> RawFileRepository::list() const {
    Statement query(*connection_, std::string(kSelect) + "ORDER BY raw_file_id DESC", kReadingFile);
    std::vector<RawFile> files;
    while (query.step()) files.push_back(raw_file_of(query));
    return files;
}

}  // namespace bakewright::book
