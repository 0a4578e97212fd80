/* SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The search for a layout: time and states for 20 boards under rules of several kinds,
 * those that nothing keeps among them, and how often it is faster than trial of all for
 * 7 boards.
 */
#include <math.h>
#include <stdio.h>
#include <time.h>

#include "benchtrue/fit/layout.h"
#include "fit/layout_trial.h"

static double now(void)
{
    struct timespec t;

    /* of this process alone: the machine may have other work */
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static const struct kind {
    const char *name;
    double share; /* of all widths together */
    size_t nclear;
    enum bt_layout_trim trim;
    enum bt_layout_centre centre;
    enum bt_layout_ring_rule rings;
    double narrowest, wide; /* wide: how much wider the boards get, mm */
} kinds[] = {
    {"no rule", 0.5, 0, BT_TRIM_ANY, BT_CENTRE_ANY, BT_RINGS_ANY, 0, 53},
    {"strips, centre, rings, 3 places", 0.5, 3, BT_TRIM_EQUAL, BT_CENTRE_BOARD,
     BT_RINGS_ALTERNATE, 40, 53},
    {"the same, one edge kept", 0.5, 3, BT_TRIM_BACK, BT_CENTRE_BOARD,
     BT_RINGS_ALTERNATE, 40, 53},
    {"nearly all boards", 0.93, 3, BT_TRIM_ANY, BT_CENTRE_BOARD, BT_RINGS_ALTERNATE, 40,
     53},
    {"like boards", 0.6, 3, BT_TRIM_EQUAL, BT_CENTRE_BOARD, BT_RINGS_ALTERNATE, 40, 1},
    {"like boards, 60 places", 0.6, 60, BT_TRIM_ANY, BT_CENTRE_BOARD,
     BT_RINGS_ALTERNATE, 40, 1},
    {"60 places", 0.6, 60, BT_TRIM_ANY, BT_CENTRE_BOARD, BT_RINGS_ALTERNATE, 40, 53},
};

static void bench_kind(const struct kind *kind)
{
    struct bt_layout_board board[BT_LAYOUT_EXACT];
    struct bt_layout_clear clear[BT_LAYOUT_CLEARS];
    struct bt_layout_request r = {.nboard = BT_LAYOUT_EXACT,
                                  .board = board,
                                  .length = 1000,
                                  .trim = kind->trim,
                                  .centre = kind->centre,
                                  .rings = kind->rings,
                                  .centre_at = NAN,
                                  .narrowest = kind->narrowest,
                                  .nclear = kind->nclear,
                                  .clear = clear};
    struct bt_layout_plan plan;
    double sum = 0, start;

    for (size_t i = 0; i < BT_LAYOUT_EXACT; i++) {
        board[i] = (struct bt_layout_board){
            .width = 80.37 + fmod((double)(i * 37) * 1.0137, kind->wide),
            .length = NAN,
            .rings = (enum bt_rings)(i % 2),
            .may_turn = i % 3 == 0};
        sum += board[i].width;
    }
    r.width = kind->share * sum + 0.31;
    for (size_t i = 0; i < kind->nclear; i++)
        clear[i] = (struct bt_layout_clear){r.width * (double)(i + 1) /
                                                (double)(kind->nclear + 1),
                                            kind->nclear > 3 ? 7.8 : 20};
    start = now();
    if (bt_layout_find(&r, 0, NULL, &plan, NULL) != BT_OK)
        return;
    printf("layout of 20 boards, %s: %.2f s, %zu states, %s\n", kind->name,
           now() - start, plan.steps,
           !plan.proven ? "NOT PROVEN"
           : plan.found ? "best proven"
                        : "none, proven");
}

static void bench_trial(void)
{
    double trial = 0, search = 0, start;
    size_t tried = 0;

    for (unsigned number = 3000; number < 3010; number++) {
        struct bt_layout_board board[8];
        struct bt_layout_clear clear[3];
        const struct bt_layout_request r = layout_draw(number, 7, board, clear);
        struct bt_layout_plan plan;

        start = now();
        tried += layout_trial(&r).tried;
        trial += now() - start;
        start = now();
        if (bt_layout_find(&r, 0, NULL, &plan, NULL) != BT_OK)
            return;
        search += now() - start;
    }
    printf("layout of 7 boards: trial of %zu orders takes %.0f times as long\n", tried,
           trial / search);
}

int main(void)
{
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        bench_kind(&kinds[i]);
    bench_trial();
    return 0;
}
