// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/document_repository.hpp"

#include <doctest/doctest.h>

#include "bakewright/book/hash.hpp"
#include "shop.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;
using namespace std::string_literals;

TEST_CASE("a document comes back whole after the book was closed") {
    const Folder folder;
    DocumentId id{};
    {
        Book book = open_new(folder.file());
        id = DocumentRepository(book).store(van_shell());
    }
    Book book = open_to_read(folder.file());
    const Document document = DocumentRepository(book).get(id);
    CHECK(document.kind == "shell");
    CHECK(document.name == "library_van");
    CHECK(document.title == "Larch County library van");
    CHECK(document.text == van_shell().text);
    CHECK(document.sha256 == sha256_hex(van_shell().text));
    CHECK(document.stored_at == kNow);
}

TEST_CASE("the same text of the same kind is stored once") {
    const Folder folder;
    Book book = open_new(folder.file());
    DocumentRepository documents(book);
    const DocumentId id = documents.store(van_shell());
    NewDocument again = van_shell();
    again.title = "another title";
    CHECK(documents.store(again) == id);
    CHECK(documents.get(id).title == van_shell().title);
    NewDocument other_kind = van_shell();
    other_kind.kind = "test_panel";
    CHECK(documents.store(other_kind) != id);
    NewDocument other_text = van_shell();
    other_text.text += "# thicker\n";
    CHECK(documents.store(other_text) != id);
    CHECK(documents.list().size() == 3);
    CHECK(documents.list("shell").size() == 2);
    CHECK(documents.list("shell").front().id > id);
    CHECK(documents.find_by_sha256("shell", sha256_hex(van_shell().text)) == id);
    CHECK_FALSE(documents.find_by_sha256("booth", sha256_hex(van_shell().text)));
}

TEST_CASE("text is kept byte for byte: quotes, markup, NUL, emoji, line ends, bytes that are not UTF-8") {
    const Folder folder;
    Book book = open_new(folder.file());
    DocumentRepository documents(book);
    const std::string hostile =
        "'; DROP TABLE bake; -- \"<script>alert(1)</script>\0 after NUL \r\n\t \xF0\x9F\x9A\x90 \xff\xfe"s;
    const DocumentId id = documents.store({.kind = hostile, .name = hostile, .title = hostile, .text = hostile});
    const Document back = documents.get(id);
    CHECK(back.kind == hostile);
    CHECK(back.name == hostile);
    CHECK(back.title == hostile);
    CHECK(back.text == hostile);
    CHECK(documents.list(hostile).size() == 1);
}

TEST_CASE("an empty text is a text") {
    const Folder folder;
    Book book = open_new(folder.file());
    DocumentRepository documents(book);
    const DocumentId id = documents.store({.kind = "note", .name = "", .title = "", .text = ""});
    CHECK(documents.get(id).text.empty());
    CHECK_THROWS_AS(documents.store({.kind = "", .name = "", .title = "", .text = "x"}), PromiseError);
}

TEST_CASE("a document that is not there is the user's mistake") {
    const Folder folder;
    Book book = open_new(folder.file());
    CHECK_FALSE(DocumentRepository(book).find(DocumentId{7}));
    CHECK(contains(message_of<InputError>([&] { static_cast<void>(DocumentRepository(book).get(DocumentId{7})); }),
                   "no document 7"));
}
