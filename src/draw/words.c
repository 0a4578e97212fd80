/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/words.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

void draw_add(struct draw_words *words, const char *format, ...)
{
    size_t room = sizeof words->text - words->length;
    va_list args;
    int n;

    va_start(args, format);
    n = vsnprintf(words->text + words->length, room, format, args);
    va_end(args);
    if (n > 0)
        words->length += (size_t)n < room ? (size_t)n : room - 1;
}

void draw_add_height(struct draw_words *words, double z, double u,
                     enum bt_system system, bool bare)
{
    char text[BT_PRINT_ROOM];

    if (bare)
        bt_print_length_bare(text, z, u, system, BT_LENGTH_FEELER);
    else
        bt_print_length(text, z, u, system, BT_LENGTH_FEELER);
    /* No sign before a value that rounds to zero. */
    draw_add(words, "%s%s", z > 0 && strpbrk(text, "123456789") ? "+" : "", text);
}

void draw_add_place(struct draw_words *words, const struct bt_point *p,
                    enum bt_system system)
{
    char x[BT_PRINT_ROOM], y[BT_PRINT_ROOM];

    /* To the millimetre, or the sixteenth of an inch: what one finds with a rule. */
    draw_add(words, "x %s, y %s",
             bt_print_length_bare(x, p->x, system == BT_SYSTEM_MM ? 3 : 0.8, system,
                                  BT_LENGTH_RULE),
             bt_print_length(y, p->y, system == BT_SYSTEM_MM ? 3 : 0.8, system,
                             BT_LENGTH_RULE));
}

void draw_add_count(struct draw_words *words, size_t n, const char *one,
                    const char *many)
{
    draw_add(words, "%zu %s", n, n == 1 ? one : many);
}

const char *draw_title(const struct bt_job *job, const struct bt_set *set)
{
    if (job->title && *job->title)
        return job->title;
    if (set->name && *set->name)
        return set->name;
    return set->nfile && set->file[0] ? set->file[0] : "Panel";
}

static void add_size(struct draw_words *words, const struct bt_job *job)
{
    char length[BT_PRINT_ROOM], width[BT_PRINT_ROOM];

    if (!(job->panel.length > 0) || !(job->panel.width > 0))
        return;
    draw_add(
        words, ", %s x %s",
        bt_print_length_bare(length, job->panel.length, 0, job->system, BT_LENGTH_RULE),
        bt_print_length(width, job->panel.width, 0, job->system, BT_LENGTH_RULE));
}

void draw_add_board(struct draw_words *words, size_t board, const char *name)
{
    char number[24];

    snprintf(number, sizeof number, "%zu", board + 1);
    draw_add(words, "%s", number);
    if (name && *name && strcmp(name, number) != 0)
        draw_add(words, "  %s", name);
}

void draw_add_set(struct draw_words *words, const struct bt_job *job,
                  const struct bt_set *set)
{
    if (set->name && *set->name && draw_title(job, set) != set->name)
        draw_add(words, "%s, ", set->name);
    draw_add(words, "%s, ", *set->date ? set->date : "undated");
    draw_add(words, set->face == BT_FACE_BOTTOM
                        ? "bottom face as it was read, turned over about its length"
                        : "top face");
    add_size(words, job);
}
