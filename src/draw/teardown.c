/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <cairo.h>
#include <dirent.h>
#include <fontconfig/fontconfig.h>
#include <pango/pangocairo.h>
#include <time.h>

#include "benchtrue/draw/figure.h"

/* How long to wait for Pango's helpers, in steps of 1 ms. */
enum { MAX_STEPS = 2000 };

/* Threads of this process; 1 where it cannot be told. */
static int threads(void)
{
    DIR *tasks = opendir("/proc/self/task");
    const struct dirent *entry;
    int n = 0;

    if (!tasks)
        return 1;
    while ((entry = readdir(tasks)))
        n += entry->d_name[0] != '.';
    closedir(tasks);
    return n;
}

/*
 * Pango looks fonts up in threads of its own, which it does not wait for; cairo and
 * Fontconfig end the program where something of theirs is taken away that is still
 * held.  They cannot be told by their names: a thread has none before it runs.
 */
static void wait_for_helpers(void)
{
    const struct timespec step = {0, 1000000};

    for (int i = 0; i < MAX_STEPS && threads() > 1; i++)
        nanosleep(&step, NULL);
}

void bt_figure_teardown(void)
{
    pango_cairo_font_map_set_default(NULL);
    wait_for_helpers();
    cairo_debug_reset_static_data();
    FcFini();
}
