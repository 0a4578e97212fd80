/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_WORDS_H
#define BENCHTRUE_DRAW_WORDS_H

#include <stddef.h>

#include "benchtrue/base/print.h"
#include "benchtrue/export.h"
#include "benchtrue/ingest/job.h"
#include "benchtrue/surface/readings.h"

/* A short text in the making; cut where it is full. */
struct draw_words {
    size_t length;
    char text[1024];
};

void draw_add(struct draw_words *words, const char *format, ...) BT_PRINTF(2, 3);

/* `+0.31 mm`; with bare without the unit. */
void draw_add_height(struct draw_words *words, double z, double u,
                     enum bt_system system, bool bare);

/* `x 300, y 150 mm`. */
void draw_add_place(struct draw_words *words, const struct bt_point *p,
                    enum bt_system system);

/* `1 place`, `2 places`. */
void draw_add_count(struct draw_words *words, size_t n, const char *one,
                    const char *many);

/* The job's title, else the set's name, the set's first file, or `Panel`. */
const char *draw_title(const struct bt_job *job, const struct bt_set *set);

/* A board: its number from 1 and its name, `3  the wide one`; the number alone where it
 * has no name (NULL or "") or is called by it. */
void draw_add_board(struct draw_words *words, size_t board, const char *name);

/* `after glue-up, 2026-03-02, top face, 1500 x 750 mm`. */
void draw_add_set(struct draw_words *words, const struct bt_job *job,
                  const struct bt_set *set);

#endif
