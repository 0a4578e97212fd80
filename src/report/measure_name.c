/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "report/measure_words.h"
#include "report/words.h"

/* Within this share of a side a place counts as on the edge or in the middle. */
#define NEAR 0.02

static bool near(double at, double place, double side)
{
    return fabs(at - place) <= NEAR * side;
}

char bt_measure_corner(const struct bt_measure_answer *a, const struct bt_point *p)
{
    const double l = a->request.length, w = a->request.width;
    const bool left = near(p->x, 0, l), right = near(p->x, l, l);
    const bool back = near(p->y, 0, w), front = near(p->y, w, w);

    if (back)
        return left ? 'A' : right ? 'B' : '\0';
    if (front)
        return right ? 'C' : left ? 'D' : '\0';
    return '\0';
}

/* A name that stands for a place, or NULL. */
static const char *known_line(const struct bt_measure_answer *a,
                              const struct bt_point *from, const struct bt_point *to)
{
    const double l = a->request.length, w = a->request.width;
    const char one = bt_measure_corner(a, from), other = bt_measure_corner(a, to);

    if ((one == 'A' && other == 'C') || (one == 'C' && other == 'A'))
        return "diagonal A-C";
    if ((one == 'B' && other == 'D') || (one == 'D' && other == 'B'))
        return "diagonal B-D";
    if (near(from->y, to->y, w)) {
        if (near(from->y, 0, w))
            return "back edge";
        if (near(from->y, w, w))
            return "front edge";
        return near(from->y, w / 2, w) ? "centre along" : NULL;
    }
    if (!near(from->x, to->x, l))
        return "askew";
    if (near(from->x, 0, l))
        return "left end";
    if (near(from->x, l, l))
        return "right end";
    return near(from->x, l / 2, l) ? "centre across" : NULL;
}

static void base_name(const struct bt_measure_answer *a, size_t k,
                      char out[BT_MEASURE_NAME])
{
    const struct bt_plan_step *step = &a->plan.step[k];
    const struct bt_point *from = &a->plan.place[step->first];
    const struct bt_point *to = &a->plan.place[step->first + step->n - 1];
    char at[BT_PRINT_ROOM];
    const char *known;
    bool along;

    if (step->kind == BT_PLAN_SETUP || step->kind == BT_PLAN_STICKS) {
        snprintf(out, BT_MEASURE_NAME, "%s",
                 step->kind == BT_PLAN_SETUP ? "set-up" : "sticks");
        return;
    }
    known = known_line(a, from, to);
    along = near(from->y, to->y, a->request.width);
    bt_print_length(at, along ? from->y : from->x, 0, a->job->system, BT_LENGTH_RULE);
    if (known)
        snprintf(out, BT_MEASURE_NAME, "%s", known);
    else
        snprintf(out, BT_MEASURE_NAME, "%s at %c %s", along ? "along" : "across",
                 along ? 'y' : 'x', at);
}

static bool same_base(const struct bt_measure_answer *a, size_t j, size_t k)
{
    char one[BT_MEASURE_NAME], other[BT_MEASURE_NAME];

    base_name(a, j, one);
    base_name(a, k, other);
    return strcmp(one, other) == 0;
}

static bool is_line(const struct bt_plan_step *step)
{
    return step->kind != BT_PLAN_SETUP && step->kind != BT_PLAN_STICKS;
}

static bool at_one(const struct bt_point *a, const struct bt_point *b)
{
    return hypot(a->x - b->x, a->y - b->y) <= 1e-6;
}

/* Lines from end to end of the same two places, whichever way they are read. */
static bool same_line(const struct bt_measure_answer *a, size_t j, size_t k)
{
    const struct bt_plan_step *s = &a->plan.step[j], *t = &a->plan.step[k];
    const struct bt_point *p = &a->plan.place[s->first], *q = &a->plan.place[t->first];

    if (!is_line(s) || !is_line(t))
        return false;
    return (at_one(&p[0], &q[0]) && at_one(&p[s->n - 1], &q[t->n - 1])) ||
           (at_one(&p[0], &q[t->n - 1]) && at_one(&p[s->n - 1], &q[0]));
}

/* The first step that lies where this one does; itself where none did before. */
static size_t first_there(const struct bt_measure_answer *a, size_t step)
{
    for (size_t k = 0; k < step; k++)
        if (same_base(a, k, step) && same_line(a, k, step))
            return k;
    return step;
}

bool bt_measure_step_turned(const struct bt_measure_answer *a, size_t step)
{
    const size_t first = first_there(a, step);
    const struct bt_plan_step *s = &a->plan.step[first], *t = &a->plan.step[step];

    return first < step && s->kind == BT_PLAN_LINE && t->kind == BT_PLAN_LINE &&
           !at_one(&a->plan.place[s->first], &a->plan.place[t->first]);
}

void bt_measure_step_name(const struct bt_measure_answer *answer, size_t step,
                          struct bt_buffer *out)
{
    const size_t first = first_there(answer, step);
    char mine[BT_MEASURE_NAME];
    size_t number = 1, again = 0;

    base_name(answer, step, mine);
    for (size_t k = 0; k < first; k++)
        number += same_base(answer, k, step) && first_there(answer, k) == k;
    for (size_t k = first; k < step; k++)
        again += first_there(answer, k) == first;
    bt_buffer_text(out, mine);
    if (number > 1 || answer->plan.step[step].kind == BT_PLAN_SETUP)
        bt_buffer_format(out, " %zu", number);
    if (again)
        bt_buffer_text(out, " again");
    if (again > 1)
        bt_buffer_format(out, " %zu", again);
}

const char *bt_measure_tool_kind(enum bt_plan_kind kind)
{
    static const char *const names[BT_PLAN_KINDS] = {"straightedge", "dial", "bar",
                                                     "level", "winding sticks"};

    return names[kind];
}

const char *bt_measure_kind_name(enum bt_plan_kind kind)
{
    static const char *const names[BT_PLAN_KINDS] = {"line", "setup", "bar", "level",
                                                     "sticks"};

    return names[kind];
}
