// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/document/whole_file.h"

#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

namespace portwright {

namespace {

namespace fs = std::filesystem;

/// A cause of errno in a workshop's words, with the way out.
std::string causeOf(int number)
{
    switch (number) {
    case ENOSPC:
    case EDQUOT:
        return "the disk is full; free some space or save elsewhere";
    case EFBIG:
        return "not all could be written, a size limit is reached; save elsewhere";
    case EROFS:
        return "the disk can only be read; save elsewhere";
    case EACCES:
    case EPERM:
        return "writing is not permitted there; change the permissions or save elsewhere";
    case ENOENT:
        return "the folder does not exist; make it or save elsewhere";
    case ENOTDIR:
        return "a part of the path is a file, not a folder; save elsewhere";
    case ENAMETOOLONG:
        return "the name is too long; shorten it";
    case EIO:
        return "the disk reports a fault; save elsewhere and check it";
    default:
        return fmt::format("{}; try again or save elsewhere", std::strerror(number));
    }
}

/// Temporary file beside the target: closed and removed unless it was renamed.
class Temporary {
public:
    explicit Temporary(const fs::path& target)
    {
        constexpr int mostTries = 100;  // names left over from a crash are passed by
        for (int i = 0; i < mostTries && file_ < 0; ++i) {
            path_ = (target.parent_path() / fmt::format(".portwright-{}-{}.tmp", ::getpid(), i)).string();
            file_ = ::open(path_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
            if (file_ < 0 && errno != EEXIST) return;
        }
    }
    Temporary(const Temporary&) = delete;
    Temporary& operator=(const Temporary&) = delete;
    ~Temporary()
    {
        if (file_ < 0) return;
        ::close(file_);
        if (!renamed_) ::unlink(path_.c_str());
    }

    bool opened() const { return file_ >= 0; }
    int file() const { return file_; }

    bool writeAll(std::string_view bytes) const
    {
        while (!bytes.empty()) {
            const ssize_t written = ::write(file_, bytes.data(), bytes.size());
            if (written < 0 && errno == EINTR) continue;
            if (written <= 0) return false;
            bytes.remove_prefix(static_cast<std::size_t>(written));
        }
        return true;
    }

    bool holds(std::size_t size) const
    {
        struct stat now{};
        return ::fstat(file_, &now) == 0 && static_cast<std::size_t>(now.st_size) == size;
    }

    bool renameTo(const fs::path& target)
    {
        renamed_ = ::rename(path_.c_str(), target.c_str()) == 0;
        return renamed_;
    }

private:
    std::string path_;
    int file_ = -1;
    bool renamed_ = false;
};

/// Where the bytes go in the end: symbolic links are followed, also to a file that is not there yet.
Result<fs::path> finalTarget(const fs::path& path)
{
    fs::path target = path;
    std::error_code trouble;
    for (int links = 0; fs::is_symlink(fs::symlink_status(target, trouble)); ++links) {
        constexpr int mostLinks = 40;
        if (links == mostLinks) return fail(path.string(), "its symbolic links lead in a circle; save elsewhere");
        const fs::path next = fs::read_symlink(target, trouble);
        if (trouble) return fail(path.string(), causeOf(trouble.value()));
        target = next.is_absolute() ? next : target.parent_path() / next;
    }
    if (target.filename().empty()) return fail(path.string(), "there is no file name in it; add one");
    if (target.parent_path().empty()) target = fs::path(".") / target;
    return target;
}

void syncFolder(const fs::path& folder)
{
    const int directory = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (directory < 0) return;  // the file itself is safe; some file systems offer no more
    ::fsync(directory);
    ::close(directory);
}

}  // namespace

Result<void> writeWhole(const fs::path& path, std::string_view bytes)
{
    const auto target = finalTarget(path);
    if (!target) return fail(target.error());
    const auto failed = [&path](int number) { return fail(path.string(), causeOf(number)); };

    struct stat old{};
    const bool replaces = ::stat(target->c_str(), &old) == 0;
    if (replaces && S_ISDIR(old.st_mode)) return fail(path.string(), "this is a folder; choose a file name");
    if (replaces && !S_ISREG(old.st_mode)) return fail(path.string(), "this is no ordinary file; choose another name");
    if (replaces && ::access(target->c_str(), W_OK) != 0) return failed(errno);

    Temporary temporary(*target);
    if (!temporary.opened()) return failed(errno);
    if (replaces && ::fchown(temporary.file(), old.st_uid, old.st_gid) != 0)
        errno = 0;  // only the owner's wish, never a reason to lose work
    if (replaces && ::fchmod(temporary.file(), old.st_mode & 07777) != 0) return failed(errno);
    if (!temporary.writeAll(bytes)) return failed(errno);
    if (!temporary.holds(bytes.size())) return failed(ENOSPC);
    if (::fsync(temporary.file()) != 0 && errno != EINVAL && errno != ENOTSUP) return failed(errno);
    if (!temporary.renameTo(*target)) return failed(errno);
    syncFolder(target->parent_path());
    return {};
}

}  // namespace portwright
