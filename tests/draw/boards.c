/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/boards.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define THICK 22.0

static double lean(const struct boards *b, size_t i, bool front, double e)
{
    enum bt_run run = front ? b->run[i].front : b->run[i].back;

    return run == BT_RUN_IN ? e : -e;
}

static void place(double at[2], const double origin[2], double turn, double u, double v)
{
    at[0] = origin[0] + u * cos(turn) + v * sin(turn);
    at[1] = origin[1] + u * sin(turn) - v * cos(turn);
}

void boards_section(struct boards *b, double e)
{
    size_t n = b->job.nboard;
    double turn = 0, y = 0, origin[2] = {0, 0};

    for (size_t i = 0; i < n; i++) {
        double w = b->board[i].width, back = lean(b, i, false, e);
        double front = lean(b, i, true, e), kink;
        struct bt_quad *q = &b->quad[i];

        place(q->show_back, origin, turn, 0, 0);
        place(q->show_front, origin, turn, w, 0);
        place(q->other_back, origin, turn, -THICK * tan(back), THICK);
        place(q->other_front, origin, turn, w + THICK * tan(front), THICK);
        y += w;
        if (i + 1 == n)
            break;
        kink = front + lean(b, i + 1, false, e);
        turn += kink;
        origin[0] = q->show_front[0];
        origin[1] = q->show_front[1];
        b->kink[i] = (struct bt_joint_kink){.y = y,
                                            .kink = {kink, 0.0004, true},
                                            .opening = {THICK * fabs(kink), 0.01, true},
                                            .opens_at_show = kink > 0};
    }
    b->section =
        (struct bt_section){.nboard = n,
                            .board = b->quad,
                            .njoint = n - 1,
                            .joint = b->kink,
                            .cup = {-b->quad[n - 1].show_front[1] / 4, 0.05, true},
                            .width = y};
}

void boards_make(struct boards *b, size_t n, bool alternate, double e)
{
    static const double width[] = {118, 92, 141.5, 70, 104, 150, 88};

    memset(b, 0, sizeof *b);
    b->job.title = "Reading-room table";
    b->job.date = "2026-03-02";
    b->job.nboard = n;
    b->job.board = b->board;
    for (size_t i = 0; i < n; i++) {
        snprintf(b->name[i], sizeof b->name[i], "Ash %c%zu", (char)('A' + i / 10),
                 i % 10 + 1);
        b->board[i].name = b->name[i];
        b->board[i].width = width[i % 7];
        b->board[i].rule.grain = (enum bt_grain)(i % 3);
        if (alternate && i % 2)
            b->run[i].back = b->run[i].front = BT_RUN_OUT;
    }
    b->plan = (struct bt_edge_plan){
        .nboard = n, .run = b->run, .proven = true, .conflict = b->conflict};
    boards_section(b, e);
    b->input = (struct bt_edges_figure){
        .job = &b->job,
        .plan = &b->plan,
        .section = &b->section,
        .pattern = alternate ? BT_PATTERN_ALTERNATE_BOARDS : BT_PATTERN_SAME_FACE,
        .feed = BT_FEED_RIGHT_TO_LEFT,
        .errors = {.e = e, .u_e = 0.0003}};
}
