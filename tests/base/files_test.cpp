// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/files.hpp"

#include <doctest/doctest.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <sys/sysmacros.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <future>
#include <iterator>
#include <string>

#include "bakewright/base/error.hpp"

using namespace bakewright;
namespace fs = std::filesystem;

namespace {

/// A folder that goes with the test.
class Folder {
public:
    Folder() {
        std::string name = (fs::temp_directory_path() / "bakewright-test-XXXXXX").string();
        REQUIRE(::mkdtemp(name.data()) != nullptr);
        path_ = name;
    }
    ~Folder() { fs::remove_all(path_); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    [[nodiscard]] std::string file(const std::string& name) const { return (path_ / name).string(); }
    [[nodiscard]] std::size_t count() const {
        return static_cast<std::size_t>(std::distance(fs::directory_iterator(path_), fs::directory_iterator()));
    }

private:
    fs::path path_;
};

std::string read(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

void put(const std::string& path, const std::string& text) { std::ofstream(path, std::ios::binary) << text; }

}  // namespace

TEST_CASE("a file is written whole, over an old one with its permissions, and nothing stays beside it") {
    const Folder folder;
    const std::string path = folder.file("card.html");
    write_file(path, "first");
    CHECK(read(path) == "first");
    fs::permissions(path, fs::perms::owner_read | fs::perms::owner_write);
    write_file(path, "second");
    CHECK(read(path) == "second");
    CHECK((fs::status(path).permissions() & fs::perms::all) == (fs::perms::owner_read | fs::perms::owner_write));
    write_file(path, "");
    CHECK(read(path).empty());
    CHECK(folder.count() == 1);
}

TEST_CASE("a link is followed to its file, also to one that is not there yet") {
    const Folder folder;
    put(folder.file("real.csv"), "old");
    fs::create_symlink("real.csv", folder.file("near"));
    fs::create_symlink(folder.file("near"), folder.file("far"));
    write_file(folder.file("far"), "new");
    CHECK(fs::is_symlink(folder.file("far")));
    CHECK(fs::is_symlink(folder.file("near")));
    CHECK(read(folder.file("real.csv")) == "new");
    fs::create_symlink("later.csv", folder.file("ahead"));
    write_file(folder.file("ahead"), "made");
    CHECK(fs::is_symlink(folder.file("ahead")));
    CHECK(read(folder.file("later.csv")) == "made");
    fs::create_symlink("round", folder.file("round"));
    CHECK_THROWS_AS(write_file(folder.file("round"), "x"), InputError);
}

TEST_CASE("a folder is refused") {
    const Folder folder;
    fs::create_directory(folder.file("inner"));
    for (const std::string& name : {folder.file("inner"), folder.file("inner/"), std::string()})
        CHECK_THROWS_AS(write_file(name, "x"), InputError);
    CHECK_THROWS_AS(write_file(folder.file("none/x"), "x"), FileError);
    CHECK(folder.count() == 1);
}

TEST_CASE("a pipe is written into and stays a pipe") {
    const Folder folder;
    const std::string pipe = folder.file("pipe");
    REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
    const std::string content(std::size_t{1} << 20U, 'x');  // more than a pipe holds
    auto reader = std::async(std::launch::async, [&] { return read(pipe); });
    write_file(pipe, content);
    CHECK(reader.get() == content);
    CHECK(fs::is_fifo(pipe));
    CHECK(folder.count() == 1);
}

TEST_CASE("a device is written into and stays a device; one that refuses is told") {
    // A full device of the test's own, where this user may make one: no test touches those of the system.
    const Folder folder;
    const std::string full = folder.file("full");
    if (::mknod(full.c_str(), S_IFCHR | 0600, ::makedev(1, 7)) != 0) return;
    const int can_open = ::open(full.c_str(), O_WRONLY | O_CLOEXEC);  // a folder mounted without devices refuses
    if (can_open < 0) return;
    ::close(can_open);
    CHECK_THROWS_AS(write_file(full, "x"), FileError);
    CHECK(fs::is_character_file(full));
    CHECK(folder.count() == 1);
}

TEST_CASE("an open descriptor is written into where it stands, not replaced") {
    const Folder folder;
    const std::string path = folder.file("open.txt");
    const int descriptor = ::open(path.c_str(), O_WRONLY | O_CREAT | O_CLOEXEC, 0600);
    REQUIRE(descriptor >= 0);
    REQUIRE(::write(descriptor, "before ", 7) == 7);
    write_file("/dev/fd/" + std::to_string(descriptor), "inside");
    REQUIRE(::write(descriptor, " after", 6) == 6);
    ::close(descriptor);
    CHECK(read(path) == "before inside after");
    CHECK_THROWS_AS(write_file("/dev/fd/" + std::to_string(descriptor), "closed by now"), FileError);
}

TEST_CASE("what killed programs left unfinished is swept, what is being made and what only looks like it stays") {
    const Folder folder;
    const std::string path = folder.file("bake.html");
    put(path + ".4711.new", "half");
    fs::create_directories(path + ".4712.new/inner");
    for (const char* other : {".new", ".47a.new", ".4711.new.html", ".4711.old"}) put(path + other, "mine");
    put(folder.file("other.html.4711.new"), "of another file");
    put(path + ".4713.new", "being made");
    const UnfinishedMark mark(path + ".4713.new");
    write_file(path, "whole");
    CHECK_FALSE(fs::exists(path + ".4711.new"));
    CHECK_FALSE(fs::exists(path + ".4712.new"));
    CHECK(fs::exists(path + ".4713.new"));
    CHECK(folder.count() == 7);
}
