/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <cairo.h>
#include <dirent.h>
#include <fcntl.h>
#include <fontconfig/fontconfig.h>
#include <pango/pangocairo.h>
#include <stdbool.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "benchtrue/draw/figure.h"

/* How long to wait for Pango's helper, in steps of 1 ms. */
enum { MAX_STEPS = 2000 };

/* Whether the thread of /proc/self/task/NAME is one that Pango named. */
static bool is_pango(int tasks, const char *name)
{
    static const char mark[] = "[pango]";
    char path[64], comm[sizeof mark - 1];
    int file;
    bool found;

    if (strlen(name) > sizeof path - sizeof "/comm")
        return false;
    strcpy(path, name);
    strcat(path, "/comm");
    file = openat(tasks, path, O_RDONLY);
    if (file < 0)
        return false;
    found = read(file, comm, sizeof comm) == (ssize_t)sizeof comm &&
            memcmp(comm, mark, sizeof comm) == 0;
    close(file);
    return found;
}

static bool helper_runs(void)
{
    DIR *tasks = opendir("/proc/self/task");
    const struct dirent *entry;
    bool found = false;

    if (!tasks)
        return false;
    while (!found && (entry = readdir(tasks)))
        found = entry->d_name[0] != '.' && is_pango(dirfd(tasks), entry->d_name);
    closedir(tasks);
    return found;
}

/*
 * Pango looks fonts up in a thread of its own, which its font map tells to end and does
 * not wait for; cairo and Fontconfig end the program where something of theirs is taken
 * away that it still holds.
 */
static void wait_for_helper(void)
{
    const struct timespec step = {0, 1000000};

    for (int i = 0; i < MAX_STEPS && helper_runs(); i++)
        nanosleep(&step, NULL);
}

void bt_figure_teardown(void)
{
    pango_cairo_font_map_set_default(NULL);
    wait_for_helper();
    cairo_debug_reset_static_data();
    FcFini();
}
