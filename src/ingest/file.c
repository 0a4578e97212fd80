/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/ingest/file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdint.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "benchtrue/base/alloc.h"

/* Pipes and the like do not tell their size; also the most that one read asks for,
 * since POSIX leaves a count over SSIZE_MAX open. */
enum { FIRST_ROOM = 65536, READ_MOST = 1 << 30 };

static enum bt_status system_fault(struct bt_faults *faults, const char *name,
                                   const char *what, int error)
{
    char text[200];

    if (strerror_r(error, text, sizeof text) != 0)
        strcpy(text, "unknown error");
    return bt_fault_add(faults, BT_EREAD, name, 0, 0, "%s: %s", what, text);
}

static enum bt_status open_fault(struct bt_faults *faults, const char *name, int error)
{
    switch (error) {
    case ENOENT:
    case ENOTDIR:
        return bt_fault_add(faults, BT_ENOFILE, name, 0, 0, "there is no such file");
    case EACCES:
    case EPERM:
        return bt_fault_add(faults, BT_ENOFILE, name, 0, 0,
                            "may not be read: permission denied");
    default:
        return system_fault(faults, name, "cannot be opened", error);
    }
}

static int open_patiently(const char *path)
{
    int fd;

    do
        fd = open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY);
    while (fd < 0 && errno == EINTR);
    return fd;
}

static ssize_t read_patiently(int fd, char *to, size_t room)
{
    ssize_t got;

    do
        got = read(fd, to, room < READ_MOST ? room : READ_MOST);
    while (got < 0 && errno == EINTR);
    return got;
}

static enum bt_status no_memory(struct bt_faults *faults, const char *name)
{
    return bt_fault_add(faults, BT_ENOMEM, name, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

/* size is a hint: a file may grow, shrink or not tell.  *text is the caller's to
 * free whatever is returned. */
static enum bt_status read_all(int fd, size_t size, const char *name, char **text,
                               size_t *length, struct bt_faults *faults)
{
    size_t room = 0, n = 0, need = size + 2;

    for (;;) {
        char *grown = bt_grow(*text, &room, need, 1);
        ssize_t got;

        if (!grown)
            return no_memory(faults, name);
        *text = grown;
        got = read_patiently(fd, grown + n, room - n - 1);
        if (got < 0)
            return system_fault(faults, name, "cannot be read", errno);
        n += (size_t)got;
        grown[n] = '\0';
        *length = n;
        if (got == 0)
            return BT_OK;
        need = n + 2;
    }
}

static size_t size_hint(const struct stat *about)
{
    if (!S_ISREG(about->st_mode) || about->st_size < FIRST_ROOM)
        return FIRST_ROOM;
    if ((uintmax_t)about->st_size > SIZE_MAX - 2)
        return SIZE_MAX - 2;
    return (size_t)about->st_size;
}

static enum bt_status read_open(int fd, const char *name, char **text, size_t *length,
                                struct bt_faults *faults)
{
    struct stat about;

    if (fstat(fd, &about) != 0)
        return system_fault(faults, name, "cannot be read", errno);
    if (S_ISDIR(about.st_mode))
        return bt_fault_add(faults, BT_ENOFILE, name, 0, 0, "is a folder, not a file");
    return read_all(fd, size_hint(&about), name, text, length, faults);
}

enum bt_status bt_file_read(const char *path, const char *name, char **text,
                            size_t *length, struct bt_faults *faults)
{
    enum bt_status status;
    int fd;

    *text = NULL;
    *length = 0;
    fd = open_patiently(path);
    if (fd < 0)
        return open_fault(faults, name, errno);
    status = read_open(fd, name, text, length, faults);
    close(fd);
    if (status != BT_OK) {
        bt_free(*text);
        *text = NULL;
        *length = 0;
    }
    return status;
}

bool bt_text_line(const char *text, size_t length, size_t *at, struct bt_line *line)
{
    size_t end = *at;

    if (*at >= length)
        return false;
    while (end < length && text[end] != '\n' && text[end] != '\r')
        end++;
    line->number++;
    line->text = text + *at;
    line->length = end - *at;
    if (end + 1 < length && text[end] == '\r' && text[end + 1] == '\n')
        end++;
    *at = end < length ? end + 1 : end;
    return true;
}

static bool continues(const char *text, size_t at)
{
    return ((unsigned char)text[at] & 0xC0) == 0x80;
}

size_t bt_text_columns(const char *text, size_t length)
{
    size_t n = 0;

    for (size_t i = 0; i < length; i++)
        n += !continues(text, i);
    return n;
}

size_t bt_text_character(const char *text, size_t length)
{
    unsigned char first, second;
    size_t bytes;

    if (length == 0)
        return 0;
    first = (unsigned char)text[0];
    if (first < 0x80)
        return 1;
    if (first < 0xC2 || first > 0xF4)
        return 0;
    bytes = first < 0xE0 ? 2 : first < 0xF0 ? 3 : 4;
    if (length < bytes)
        return 0;
    for (size_t i = 1; i < bytes; i++)
        if (!continues(text, i))
            return 0;
    second = (unsigned char)text[1];
    if ((first == 0xE0 && second < 0xA0) || (first == 0xED && second > 0x9F) ||
        (first == 0xF0 && second < 0x90) || (first == 0xF4 && second > 0x8F))
        return 0;
    return bytes;
}

/* Without a mark, two characters of which one half is NUL each, on the same side:
 * UTF-8 text cannot begin so. */
static bool is_utf16(const char *text, size_t length)
{
    if (length < 2)
        return false;
    if (memcmp(text, "\xFF\xFE", 2) == 0 || memcmp(text, "\xFE\xFF", 2) == 0)
        return true;
    if (length < 4)
        return false;
    return (text[0] && !text[1] && text[2] && !text[3]) ||
           (!text[0] && text[1] && !text[2] && text[3]);
}

/* What is often given in place of a text, by how such files begin (PKWARE APPNOTE
 * 4.3.7; [MS-CFB] 2.2; ISO 32000-1, 7.5.2; ISO/IEC 15948, 5.2; ISO/IEC 10918-1, B.1).
 */
static const char *other_kind(const char *text, size_t length)
{
    static const char sheet[] = "this is a spreadsheet file, not a text table: save or "
                                "export it as CSV";
    static const char picture[] = "this is a picture or a PDF, not a text table: type "
                                  "what it shows into a CSV file";
    static const struct {
        const char *begins;
        size_t n;
        const char *message;
    } kinds[] = {
        {"PK\003\004", 4, sheet}, {"\xD0\xCF\x11\xE0", 4, sheet}, {"%PDF-", 5, picture},
        {"\x89PNG", 4, picture},  {"\xFF\xD8\xFF", 3, picture},
    };

    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (length >= kinds[i].n && memcmp(text, kinds[i].begins, kinds[i].n) == 0)
            return kinds[i].message;
    return NULL;
}

struct check {
    const char *name;
    struct bt_faults *faults;
    enum bt_status status;
    bool nul, bytes, length; /* found already */
};

static void check_failed(struct check *check, enum bt_status status)
{
    if (check->status != BT_ENOMEM)
        check->status = status;
}

static void check_line(struct check *check, const struct bt_line *line)
{
    size_t column = 1, bytes;

    if (line->length > BT_LINE_MAX && !check->length) {
        check->length = true;
        check_failed(check, bt_fault_add(check->faults, BT_EINPUT, check->name,
                                         line->number, 1,
                                         "line of %zu bytes, no line may have more "
                                         "than %d; end each row with a line end",
                                         line->length, BT_LINE_MAX));
    }
    for (size_t i = 0; i < line->length; i += bytes, column++) {
        const char *c = line->text + i;

        bytes = bt_text_character(c, line->length - i);
        if (*c == '\0' && !check->nul) {
            check->nul = true;
            check_failed(check,
                         bt_fault_add(check->faults, BT_EINPUT, check->name,
                                      line->number, column,
                                      "NUL byte, which is no part of a text; save the "
                                      "file as plain text in UTF-8"));
        }
        if (bytes == 0 && !check->bytes) {
            check->bytes = true;
            check_failed(check, bt_fault_add(check->faults, BT_EINPUT, check->name,
                                             line->number, column,
                                             "not UTF-8: byte 0x%02X, save the file as "
                                             "UTF-8",
                                             (unsigned)(unsigned char)*c));
        }
        if (bytes == 0)
            bytes = 1;
    }
}

enum bt_status bt_text_check(const char *text, size_t length, const char *name,
                             size_t *start, struct bt_faults *faults)
{
    struct check check = {name, faults, BT_OK, false, false, false};
    struct bt_line line = {0, NULL, 0};
    size_t at;

    *start = 0;
    if (other_kind(text, length))
        return bt_fault_add(faults, BT_EINPUT, name, 1, 1, "%s",
                            other_kind(text, length));
    if (is_utf16(text, length))
        return bt_fault_add(faults, BT_EINPUT, name, 1, 1,
                            "the file is UTF-16, save it as UTF-8");
    if (length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0)
        *start = 3;
    at = *start;
    while (bt_text_line(text, length, &at, &line))
        check_line(&check, &line);
    return check.status;
}
