/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The boards as they lie: which run of them, and where the edges fall. */
#include "fit/layout_private.h"

/* From board f on: what the run up to the last one looked at amounts to. */
struct run {
    int start;
    size_t f, turned;
    whole sum, area; /* of the inner ones; of all but the last */
    struct spans first;
};

static void take(struct layout_task *task, struct layout_best *best,
                 const struct run *run, size_t l)
{
    const int turn = layout_turn(task, l, l - run->f, run->start);
    const whole area = run->area + task->board[l].area;
    whole first, off;

    if (turn < 0 ||
        layout_avoided(task, ((1ull << (l + 1)) - 1) & ~((1ull << run->f) - 1)) ||
        !layout_close(task, run->f, l, l - run->f - 1, run->sum, run->first.n,
                      run->first.item, &first, &off) ||
        !layout_better(best, area, off, run->turned + (size_t)turn))
        return;
    *best = (struct layout_best){.found = true,
                                 .area = area,
                                 .off = off,
                                 .turned = run->turned + (size_t)turn,
                                 .n = l - run->f + 1,
                                 .first = first};
    for (size_t k = 0; k < best->n; k++) {
        best->board[k] = run->f + k;
        best->turn[k] = layout_turn(task, run->f + k, k, run->start) == 1;
    }
}

/* Board l becomes an inner one; false where it cannot. */
static bool extend(struct layout_task *task, struct run *run, size_t l)
{
    const struct layout_board *b = &task->board[l];
    const int turn = layout_turn(task, l, l - run->f, run->start);

    if (!b->inner || turn < 0)
        return false;
    layout_centre(task, &run->first, run->sum, b->width);
    run->sum += b->width;
    run->area += b->area;
    run->turned += (size_t)turn;
    layout_joint(task, &run->first, run->sum);
    return run->first.n > 0;
}

enum bt_status layout_listed(struct layout_task *task, struct layout_best *best)
{
    layout_single(task, best);
    for (int start = 0; start < layout_starts(task); start++)
        for (size_t f = 0; f < task->n; f++) {
            const int turn = layout_turn(task, f, 0, start);
            struct run run = {.start = start, .f = f, .area = task->board[f].area};

            if (turn < 0)
                continue;
            run.turned = (size_t)turn;
            layout_first(task, &run.first);
            for (size_t l = f + 1; l < task->n; l++) {
                task->steps++;
                /* a board too short to be used lies between */
                if (task->board[l].index != task->board[l - 1].index + 1)
                    break;
                take(task, best, &run, l);
                if (!extend(task, &run, l))
                    break;
            }
        }
    return BT_OK;
}
