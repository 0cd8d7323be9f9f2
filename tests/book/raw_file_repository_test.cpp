// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/raw_file_repository.hpp"

#include <doctest/doctest.h>

#include <random>

#include "bakewright/book/hash.hpp"
#include "shop.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;

namespace {

std::string random_bytes(std::size_t size) {
    std::mt19937 random(6);
    std::string bytes(size, '\0');
    for (char& byte : bytes) byte = static_cast<char>(random());
    return bytes;
}

}  // namespace

TEST_CASE("a probe file comes back byte for byte after the book was closed") {
    const Folder folder;
    const std::string large = random_bytes((std::size_t{9} << 20U) + 17);  // three pieces
    RawFileId small_id{}, large_id{}, empty_id{};
    {
        Book book = open_new(folder.file());
        RawFileRepository files(book);
        small_id = files.store("van.csv", kLogText);
        large_id = files.store("long \xF0\x9F\x94\xA5.csv", large);
        empty_id = files.store("empty.csv", "");
    }
    Book book = open_to_read(folder.file());
    const RawFileRepository files(book);
    CHECK(files.fetch(small_id) == kLogText);
    CHECK(files.fetch(large_id) == large);
    CHECK(files.fetch(empty_id).empty());
    const auto found = files.find_by_sha256(sha256_hex(large));
    REQUIRE(found);
    CHECK(found->id == large_id);
    CHECK(found->size_bytes == large.size());
    CHECK(found->original_name == "long \xF0\x9F\x94\xA5.csv");
    CHECK(found->stored_at == kNow);
    CHECK(files.list().size() == 3);
    CHECK(files.list().front().id == empty_id);
}

TEST_CASE("a probe file is fetched in pieces of at most 4 MiB") {
    const Folder folder;
    Book book = open_new(folder.file());
    RawFileRepository files(book);
    const std::string large = random_bytes((std::size_t{9} << 20U) + 17);
    std::vector<std::size_t> sizes;
    files.fetch(files.store("long.csv", large), [&](std::string_view piece) { sizes.push_back(piece.size()); });
    CHECK(sizes == std::vector<std::size_t>{4U << 20U, 4U << 20U, (1U << 20U) + 17});
}

TEST_CASE("the same bytes are stored once and keep their first name") {
    const Folder folder;
    Book book = open_new(folder.file());
    RawFileRepository files(book);
    const RawFileId id = files.store("van.csv", kLogText);
    CHECK(files.store("copy of van.csv", kLogText) == id);
    CHECK(files.list().size() == 1);
    CHECK(files.find(id)->original_name == "van.csv");
    CHECK(files.store("van.csv", std::string(kLogText) + "\n") != id);
}

TEST_CASE("a log of even text takes a fraction of its size") {
    const Folder folder;
    Book book = open_new(folder.file());
    std::string text;
    for (int i = 0; i < 20000; ++i) text += std::to_string(i) + ",21.5,22.0\n";
    RawFileRepository files(book);
    const auto file = files.find(files.store("van.csv", text));
    CHECK(file->stored_bytes * 4 < file->size_bytes);
}

TEST_CASE("a probe file that is not there is the user's mistake") {
    const Folder folder;
    Book book = open_new(folder.file());
    CHECK_FALSE(RawFileRepository(book).find(RawFileId{3}));
    CHECK(contains(message_of<InputError>([&] { static_cast<void>(RawFileRepository(book).fetch(RawFileId{3})); }),
                   "no probe file 3"));
}

TEST_CASE("a file packed without being held whole is the file stored whole") {
    const Folder folder;
    for (const std::size_t size : {std::size_t{0}, std::size_t{17}, std::size_t{4} << 20U, (std::size_t{9} << 20U) + 17}) {
        CAPTURE(size);
        const std::string bytes = random_bytes(size);
        write_file(folder.file("log.csv"), bytes);
        const PackedFile packed{FileBytes(folder.file("log.csv").string())};
        CHECK(packed.sha256() == sha256_hex(bytes));
        CHECK(packed.size_bytes() == size);
        Book book = open_new(folder.file(std::to_string(size) + ".book"));
        RawFileRepository files(book);
        const RawFileId id = files.store("log.csv", packed);
        CHECK(files.fetch(id) == bytes);
        CHECK(files.find(id)->size_bytes == size);
        CHECK(files.store("again.csv", bytes) == id);
        CHECK(files.store("again.csv", packed) == id);
        CHECK(files.list().size() == 1);
    }
}
