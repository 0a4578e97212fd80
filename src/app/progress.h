/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_APP_PROGRESS_H
#define BENCHTRUE_APP_PROGRESS_H

#include <stdbool.h>
#include <time.h>

/*
 * One line on stderr that says how far work is, where stderr is a terminal and the work
 * has taken more than a second; gone when the work is done.
 */
struct progress {
    bool wanted;
    struct timespec start, shown; /* when work began; when the line was last written */
    bool line;                    /* there is one */
};

void progress_start(struct progress *progress);

/* For struct bt_load_options: user is the struct progress. */
void progress_read(void *user, const char *file, double share);

/* What is being done now, where no share of it is known: `working out the figures`. */
void progress_say(struct progress *progress, const char *what);

/* Take the line away; nothing where there is none. */
void progress_end(struct progress *progress);

#endif
