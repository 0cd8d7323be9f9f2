// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <sqlite3.h>

#include <cstring>
#include <map>
#include <new>
#include <set>
#include <string>
#include <vector>

/// A disk that fails when it is told to: a virtual file system of SQLite's (https://www.sqlite.org/vfs.html) in front of the
/// usual one.
namespace bakewright::book::testing {

enum class DiskDeed { write, sync, open, remove };
enum class DiskFault {
    refused,  ///< one deed fails, those after it go well: a moment's trouble
    gone,     ///< it and every later one fails: the stick was pulled
    cut       ///< power goes: what was written since a file's last sync is lost, and every later deed fails
};

/// From its making to its end every book of this process lies on it. One at a time, for one thread.
class FailingDisk {
public:
    /// @param at  fails at the at-th deed of its kind, 1 for the first
    FailingDisk(DiskDeed deed, DiskFault fault, int at) : deed_(deed), fault_(fault), at_(at) {
        real_ = sqlite3_vfs_find(nullptr);
        vfs_ = *real_;
        vfs_.zName = "failing";
        vfs_.szOsFile = static_cast<int>(sizeof(File)) + real_->szOsFile;
        vfs_.xOpen = open;
        vfs_.xDelete = remove;
        here_ = this;
        sqlite3_vfs_register(&vfs_, 1);
    }
    ~FailingDisk() {
        sqlite3_vfs_unregister(&vfs_);
        sqlite3_vfs_register(real_, 1);
        here_ = nullptr;
    }
    FailingDisk(const FailingDisk&) = delete;
    FailingDisk& operator=(const FailingDisk&) = delete;

    [[nodiscard]] bool has_failed() const noexcept { return has_failed_; }

private:
    /// What a file held where it was written over since its last sync.
    struct Undo {
        sqlite3_int64 offset = 0, size = 0;
        std::string bytes{};
    };
    /// As SQLite keeps an open file: its methods first, and behind it the real one.
    struct File {
        sqlite3_file head;
        std::vector<Undo>* undo;
    };

    static sqlite3_file* real(sqlite3_file* file) {
        return reinterpret_cast<sqlite3_file*>(reinterpret_cast<char*>(file) + sizeof(File));
    }
    static std::vector<Undo>& undo_of(sqlite3_file* file) { return *reinterpret_cast<File*>(file)->undo; }

    /// Whether this deed fails.
    bool fails(DiskDeed deed) {
        const bool is_it = deed == deed_ && !has_failed_ && ++count_ == at_;
        if (is_it) {
            has_failed_ = true;
            if (fault_ == DiskFault::cut) lose_what_is_unsynced();
            return true;
        }
        return has_failed_ && fault_ != DiskFault::refused;
    }

    void lose_what_is_unsynced() {
        for (sqlite3_file* file : files_) {
            std::vector<Undo>& undo = undo_of(file);
            for (auto one = undo.rbegin(); one != undo.rend(); ++one) {
                if (!one->bytes.empty())
                    real(file)->pMethods->xWrite(real(file), one->bytes.data(), static_cast<int>(one->bytes.size()), one->offset);
                real(file)->pMethods->xTruncate(real(file), one->size);
            }
            undo.clear();
        }
    }

    /// Keeps what a write or a cut will take.
    static void remember(sqlite3_file* file, sqlite3_int64 offset, sqlite3_int64 amount) {
        Undo undo{.offset = offset};
        real(file)->pMethods->xFileSize(real(file), &undo.size);
        const sqlite3_int64 there = std::max<sqlite3_int64>(0, std::min(amount, undo.size - offset));
        undo.bytes.resize(static_cast<std::size_t>(there));
        if (there > 0) real(file)->pMethods->xRead(real(file), undo.bytes.data(), static_cast<int>(there), offset);
        undo_of(file).push_back(std::move(undo));
    }

    static int open(sqlite3_vfs*, const char* name, sqlite3_file* file, int flags, int* out_flags) {
        file->pMethods = nullptr;
        if (here_->fails(DiskDeed::open)) return SQLITE_CANTOPEN;
        const int code = here_->real_->xOpen(here_->real_, name, real(file), flags, out_flags);
        if (real(file)->pMethods == nullptr) return code;
        reinterpret_cast<File*>(file)->undo = new std::vector<Undo>;
        file->pMethods = &methods();
        here_->files_.insert(file);
        return code;
    }
    static int remove(sqlite3_vfs*, const char* name, int also_folder) {
        return here_->fails(DiskDeed::remove) ? SQLITE_IOERR_DELETE : here_->real_->xDelete(here_->real_, name, also_folder);
    }
    static int close(sqlite3_file* file) {
        here_->files_.erase(file);
        delete reinterpret_cast<File*>(file)->undo;
        return real(file)->pMethods->xClose(real(file));
    }
    static int write(sqlite3_file* file, const void* bytes, int amount, sqlite3_int64 offset) {
        if (here_->fails(DiskDeed::write)) return SQLITE_IOERR_WRITE;
        remember(file, offset, amount);
        return real(file)->pMethods->xWrite(real(file), bytes, amount, offset);
    }
    static int truncate(sqlite3_file* file, sqlite3_int64 size) {
        if (here_->fails(DiskDeed::write)) return SQLITE_IOERR_TRUNCATE;
        sqlite3_int64 had = 0;
        real(file)->pMethods->xFileSize(real(file), &had);
        remember(file, size, had - size);
        return real(file)->pMethods->xTruncate(real(file), size);
    }
    static int sync(sqlite3_file* file, int flags) {
        if (here_->fails(DiskDeed::sync)) return SQLITE_IOERR_FSYNC;
        undo_of(file).clear();
        return real(file)->pMethods->xSync(real(file), flags);
    }

    static const sqlite3_io_methods& methods() {
        static const sqlite3_io_methods made{
            .iVersion = 2,  // without the third's mapped pages, which no write would be seen of
            .xClose = close,
            .xRead = [](sqlite3_file* f, void* into, int amount,
                        sqlite3_int64 at) { return real(f)->pMethods->xRead(real(f), into, amount, at); },
            .xWrite = write,
            .xTruncate = truncate,
            .xSync = sync,
            .xFileSize = [](sqlite3_file* f, sqlite3_int64* size) { return real(f)->pMethods->xFileSize(real(f), size); },
            .xLock = [](sqlite3_file* f, int lock) { return real(f)->pMethods->xLock(real(f), lock); },
            .xUnlock = [](sqlite3_file* f, int lock) { return real(f)->pMethods->xUnlock(real(f), lock); },
            .xCheckReservedLock = [](sqlite3_file* f, int* is) { return real(f)->pMethods->xCheckReservedLock(real(f), is); },
            .xFileControl = [](sqlite3_file* f, int what,
                               void* with) { return real(f)->pMethods->xFileControl(real(f), what, with); },
            .xSectorSize = [](sqlite3_file* f) { return real(f)->pMethods->xSectorSize(real(f)); },
            .xDeviceCharacteristics = [](sqlite3_file*) { return 0; },  // promises nothing: neither whole sectors nor order
            .xShmMap = [](sqlite3_file* f, int page, int size, int extend,
                          void volatile** at) { return real(f)->pMethods->xShmMap(real(f), page, size, extend, at); },
            .xShmLock = [](sqlite3_file* f, int offset, int n,
                           int flags) { return real(f)->pMethods->xShmLock(real(f), offset, n, flags); },
            .xShmBarrier = [](sqlite3_file* f) { real(f)->pMethods->xShmBarrier(real(f)); },
            .xShmUnmap = [](sqlite3_file* f, int remove) { return real(f)->pMethods->xShmUnmap(real(f), remove); },
            .xFetch = nullptr,
            .xUnfetch = nullptr};
        return made;
    }

    static inline FailingDisk* here_ = nullptr;
    sqlite3_vfs* real_ = nullptr;
    sqlite3_vfs vfs_{};
    std::set<sqlite3_file*> files_;
    DiskDeed deed_;
    DiskFault fault_;
    int at_ = 0, count_ = 0;
    bool has_failed_ = false;
};

}  // namespace bakewright::book::testing
