/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/progress.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "benchtrue/report/buffer.h"
#include "benchtrue/report/save.h"

/* Seconds before the first line, and between lines: work that is soon done needs none,
 * and a terminal is slow. */
static const double first_after = 1.0, again_after = 0.2;

/* The line must not wrap: a wrapped one is not taken away by a carriage return. */
enum { WIDEST = 60 };

static double since(const struct timespec *then)
{
    struct timespec now;

    if (clock_gettime(CLOCK_MONOTONIC, &now) != 0)
        return 0;
    return (double)(now.tv_sec - then->tv_sec) +
           1e-9 * (double)(now.tv_nsec - then->tv_nsec);
}

void progress_start(struct progress *progress)
{
    const char *term = getenv("TERM");

    memset(progress, 0, sizeof *progress);
    progress->wanted = isatty(STDERR_FILENO) && term && strcmp(term, "dumb") != 0 &&
                       clock_gettime(CLOCK_MONOTONIC, &progress->start) == 0;
}

/* To the start of the line, and clear to its end (ECMA-48 EL). */
static const char wipe[] = "\r\x1b[K";

static bool is_due(const struct progress *progress)
{
    if (!progress->wanted)
        return false;
    return progress->line ? since(&progress->shown) >= again_after
                          : since(&progress->start) >= first_after;
}

static void show(struct progress *progress, struct bt_buffer *text)
{
    /* Nobody is helped by a message that the line could not be written. */
    if (bt_buffer_status(text) == BT_OK)
        bt_save_to(STDERR_FILENO, text->text, text->length, NULL);
    bt_buffer_clear(text);
    progress->line = true;
    clock_gettime(CLOCK_MONOTONIC, &progress->shown);
}

void progress_read(void *user, const char *file, double share)
{
    struct progress *progress = user;
    const char *slash = strrchr(file, '/');
    struct bt_buffer text = {0};

    if (!is_due(progress))
        return;
    if (slash)
        file = slash + 1;
    bt_buffer_text(&text, wipe);
    bt_buffer_text(&text, "reading");
    if (strlen(file) <= WIDEST) {
        bt_buffer_text(&text, " ");
        bt_buffer_name(&text, file);
    }
    bt_buffer_format(&text, ": %d %%", (int)(100 * share));
    show(progress, &text);
}

void progress_say(struct progress *progress, const char *what)
{
    struct bt_buffer text = {0};

    if (!progress->wanted || since(&progress->start) < first_after)
        return;
    bt_buffer_text(&text, wipe);
    bt_buffer_text(&text, what);
    show(progress, &text);
}

void progress_end(struct progress *progress)
{
    if (progress->line)
        bt_save_to(STDERR_FILENO, wipe, sizeof wipe - 1, NULL);
    progress->line = false;
}
