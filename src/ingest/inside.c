/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _XOPEN_SOURCE 700 /* realpath */

#include "ingest/load.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum bt_status bt_inside_path(struct bt_load *load, const char *name,
                              char out[BT_PATH_ROOM])
{
    const char *folder = load->folder;
    int n = snprintf(out, BT_PATH_ROOM, "%s%s%s", folder, *folder ? "/" : "", name);

    if (n < 0 || n >= BT_PATH_ROOM)
        return bt_fault_add(load->faults, BT_EINPUT, name, 0, 0,
                            "the path is too long for this system");
    return BT_OK;
}

bool bt_inside_exists(struct bt_load *load, const char *name)
{
    char path[BT_PATH_ROOM];
    const char *folder = load->folder;
    struct stat about;
    int n = snprintf(path, sizeof path, "%s%s%s", folder, *folder ? "/" : "", name);

    /* A dangling link is there: reading it tells what is wrong. */
    return n > 0 && n < BT_PATH_ROOM && lstat(path, &about) == 0;
}

/* Is `..` one of the parts of the path? */
static bool climbs(const char *name)
{
    for (const char *part = name; part; part = strchr(part, '/')) {
        while (*part == '/')
            part++;
        if (part[0] == '.' && part[1] == '.' && (part[2] == '/' || part[2] == '\0'))
            return true;
    }
    return false;
}

/* Where the path leads, links followed, is that under the folder? */
static bool stays_inside(const char *folder, const char *path)
{
    char root[BT_PATH_ROOM], end[BT_PATH_ROOM];
    size_t n;

    if (!realpath(*folder ? folder : ".", root) || !realpath(path, end))
        return true; /* cannot be followed: opening it tells why */
    n = strlen(root);
    if (n == 1)
        return true; /* the folder is the root */
    return strncmp(root, end, n) == 0 && end[n] == '/';
}

enum bt_status bt_inside_check(struct bt_load *load, const char *name,
                               const struct bt_spot_in_file *by)
{
    char path[BT_PATH_ROOM], shown[BT_SHOWN_ROOM];
    const char *what;

    if (bt_inside_path(load, name, path) != BT_OK)
        return BT_EINPUT;
    if (*name == '/')
        what = "an absolute path";
    else if (climbs(name))
        what = "a path that leaves the job folder";
    else if (!stays_inside(load->folder, path))
        what = "a link that leads out of the job folder";
    else
        return BT_OK;
    return bt_fault_add(load->faults, BT_EINPUT, by->file, by->line, by->column,
                        "%s: '%s', put the file into the job folder and name it there",
                        what, bt_fault_shown(name, strlen(name), shown));
}

enum bt_status bt_inside_table(struct bt_load *load, const char *name,
                               struct bt_table *table, bool *usable)
{
    const struct bt_spot_in_file by = {name, 0, 0};
    char path[BT_PATH_ROOM];
    enum bt_status status;

    memset(table, 0, sizeof *table);
    *usable = false;
    if (!bt_inside_exists(load, name) || bt_inside_path(load, name, path) != BT_OK ||
        bt_inside_check(load, name, &by) != BT_OK)
        return BT_OK;
    status = bt_table_read(path, name, table, load->faults);
    *usable = status == BT_OK;
    return status == BT_ENOMEM ? BT_ENOMEM : BT_OK;
}
