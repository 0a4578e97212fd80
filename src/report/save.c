/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/save.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "benchtrue/report/buffer.h"

/* A status and the system's own words for the errno of the call just made. */
static enum bt_status system_error(struct bt_error *err, enum bt_status code,
                                   const char *path)
{
    int number = errno;

    if (!path)
        return bt_error_set(err, code, 0, 0, "%s", strerror(number));
    return bt_error_set(err, code, 0, 0, "%s: %s: %s", path, bt_status_text(code),
                        strerror(number));
}

enum bt_status bt_save_to(int descriptor, const char *text, size_t length,
                          struct bt_error *err)
{
    while (length > 0) {
        ssize_t n = write(descriptor, text, length);

        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0)
            return system_error(err, BT_EWRITE, NULL);
        text += n;
        length -= (size_t)n;
    }
    return BT_OK;
}

/* Fill the file at part and put it in the place of path. */
static enum bt_status write_part(const char *path, const char *part, const char *text,
                                 size_t length, struct bt_error *err)
{
    enum bt_status status;
    int file = open(part, O_WRONLY | O_CREAT | O_TRUNC, 0666);

    if (file < 0)
        return system_error(err, BT_ECREATE, path);
    status = bt_save_to(file, text, length, NULL);
    if (status != BT_OK)
        system_error(err, BT_EWRITE, path);
    /* A disk may run full only when the file is closed. */
    if (close(file) != 0 && status == BT_OK)
        status = system_error(err, BT_EWRITE, path);
    if (status == BT_OK && rename(part, path) != 0)
        status = system_error(err, BT_ECREATE, path);
    if (status != BT_OK)
        unlink(part);
    return status;
}

enum bt_status bt_save_file(const char *path, const char *text, size_t length,
                            struct bt_error *err)
{
    struct bt_buffer part = {0};
    enum bt_status status;

    bt_buffer_text(&part, path);
    bt_buffer_text(&part, ".part");
    if (part.failed)
        status = bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    else
        status = write_part(path, part.text, text, length, err);
    bt_buffer_clear(&part);
    return status;
}

static enum bt_status check_empty(const char *path, struct bt_error *err)
{
    DIR *folder = opendir(path);
    const struct dirent *entry;
    bool empty = true;

    if (!folder)
        return system_error(err, BT_ECREATE, path);
    while (empty && (entry = readdir(folder)))
        empty = strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0;
    closedir(folder);
    if (empty)
        return BT_OK;
    return bt_error_set(err, BT_ECREATE, 0, 0,
                        "%s: is not empty, and nothing in it is touched; name a new "
                        "folder",
                        path);
}

enum bt_status bt_save_folder(const char *path, bool *made, struct bt_error *err)
{
    struct stat there;

    *made = mkdir(path, 0777) == 0;
    if (*made)
        return BT_OK;
    if (errno != EEXIST)
        return system_error(err, BT_ECREATE, path);
    if (stat(path, &there) == 0 && !S_ISDIR(there.st_mode))
        return bt_error_set(err, BT_ECREATE, 0, 0,
                            "%s: is a file, not a folder; name a new folder", path);
    return check_empty(path, err);
}

void bt_save_undo(const char *path)
{
    remove(path);
}
