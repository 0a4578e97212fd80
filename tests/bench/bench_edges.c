/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The best way to run 24 boards, against one second; and draws over the scatter of
 * edges, against NumPy where it is installed.
 *
 *     bench_edges FOLDER [PYTHON PEER]    peer_edges.py of this folder
 *
 * Invented panels, in families that are hard in different ways.  Prints the slowest
 * panel of each as a share of one second, with the nodes of the one that took most, and
 * the median of the ratios of several rounds, the two ways in turn.  Exit status 1
 * where a search does not end within its limit or the two ways differ.
 */
#include <gsl/gsl_errno.h>
#include <gsl/gsl_sort.h>
#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "benchtrue/joint/edge_plan.h"
#include "benchtrue/joint/scatter.h"

enum { BOARDS = 24, PANELS = 30 };

static const double degree = 0.017453292519943295;

/* Of the processor, since other programs may use it too; ms. */
static double processor(void)
{
    struct timespec t;

    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return 1000 * ((double)t.tv_sec + 1e-9 * (double)t.tv_nsec);
}

/* Fixed, reproducible: from 0 to 1. */
static double next(uint32_t *state)
{
    *state = *state * 1664525u + 1013904223u;
    return (double)(*state >> 8) / 16777216.0;
}

static enum bt_run either(uint32_t *seed)
{
    return next(seed) < 0.5 ? BT_RUN_IN : BT_RUN_OUT;
}

/* ---- panels ---- */

struct family {
    const char *name;
    double width_step; /* mm that widths are multiples of; 0 any; < 0 all equal */
    double taper;      /* mm, up to */
    double turn;       /* share of boards that may be turned over */
    double fixed;      /* share of edges that are fixed */
    double against;    /* share of boards that may not be fed against the grain */
    double cup_step;   /* mm */
    double kink_step;  /* rad */
    double e;          /* degrees */
};

static const struct family families[] = {
    {"tapered, any face", 0, 0.8, 1, 0, 0, 0.01, 1e-5, 0.5},
    {"tapered, no turning", 0, 0.8, 0, 0, 0, 0.01, 1e-5, 0.5},
    {"tapered, some rules", 0, 0.8, 0.5, 0.25, 0.2, 0.01, 1e-5, 0.3},
    {"tapered, half fixed", 0, 0.8, 0.2, 0.5, 0.3, 0.01, 1e-5, 0.5},
    {"tapered, most fixed", 0, 0.8, 0.1, 0.75, 0.4, 0.01, 1e-5, 0.5},
    {"tapered, step of 1 um", 0, 0.8, 0.3, 0.3, 0.2, 0.001, 1e-6, 0.5},
    {"tapered, step of 0.01 um", 0, 0.8, 0.3, 0.4, 0.2, 1e-5, 1e-7, 0.5},
    {"tapered, step of 1 nm", 0, 0.8, 0.5, 0.3, 0.2, 1e-6, 1e-8, 0.5},
    {"two ways each, step of 1 nm", 0, 0.8, 0, 0.5, 1, 1e-6, 1e-8, 0.5},
    {"equal, no taper", -1, 0, 1, 0.25, 0, 0.01, 1e-5, 0.5},
    {"equal, no taper, half fixed", -1, 0, 0.3, 0.5, 0.2, 0.01, 1e-5, 0.5},
    {"equal, all of one taper", -1, -0.5, 1, 0.3, 0, 0.01, 1e-5, 0.5},
    {"whole mm, no taper", 1, 0, 0, 0.4, 0, 0.01, 1e-5, 0.5},
    {"whole mm, sums at steps", 1, 0, 0, 0.6, 0, 0.01, 1e-5, 0.57295779513082323},
    {"whole mm, 1.2 deg", 1, 0, 0, 0.4, 0, 0.01, 1e-5, 1.2},
    {"whole 10 mm, no taper", 10, 0, 0, 0.4, 0, 0.01, 1e-5, 0.5},
    {"any widths, no taper", 0, 0, 0, 0.4, 0, 0.01, 1e-5, 0.5},
    {"small taper", 0, 0.02, 1, 0.3, 0, 0.01, 1e-5, 0.5},
    {"no error of the fence", 0, 0.8, 1, 0.2, 0, 0.01, 1e-5, 0},
    {"wide step", 0, 0.8, 1, 0.2, 0, 1, 1e-9, 0.5},
};

struct panel {
    struct bt_strip strip[BOARDS];
    struct bt_board_rule rule[BOARDS];
    struct bt_edge_plan_request request;
};

static double make_width(const struct family *f, uint32_t *seed)
{
    double width = 60 + 90 * next(seed);

    if (f->width_step < 0)
        return 100;
    return f->width_step > 0 ? f->width_step * nearbyint(width / f->width_step) : width;
}

static void make_panel(struct panel *p, const struct family *f, uint32_t seed)
{
    memset(p, 0, sizeof *p);
    for (size_t i = 0; i < BOARDS; i++) {
        struct bt_board_rule *r = &p->rule[i];
        enum bt_run fixed = either(&seed);

        p->strip[i].width = make_width(f, &seed);
        p->strip[i].thickness = 25;
        p->strip[i].taper = f->taper * (2 * next(&seed) - 1);
        if (f->taper < 0)
            p->strip[i].taper = f->taper;
        r->may_turn = next(&seed) < f->turn;
        r->back_fixed = next(&seed) < f->fixed;
        r->front_fixed = next(&seed) < f->fixed;
        r->back = fixed;
        r->front = next(&seed) < 0.7 ? fixed : either(&seed);
        r->grain = next(&seed) < 0.5 ? BT_GRAIN_LEFT : BT_GRAIN_RIGHT;
        r->against_grain_allowed =
            r->back_fixed || r->front_fixed || next(&seed) >= f->against;
    }
    p->request = (struct bt_edge_plan_request){.nboard = BOARDS,
                                               .strip = p->strip,
                                               .rule = p->rule,
                                               .errors = {.e = f->e * degree},
                                               .pattern = BT_PATTERN_BEST,
                                               .cup_step = f->cup_step,
                                               .kink_step = f->kink_step};
}

static int time_family(const struct family *f, uint32_t seed)
{
    double slowest = 0;
    size_t nodes = 0, open = 0;

    for (uint32_t k = 0; k < PANELS; k++) {
        struct panel p;
        struct bt_edge_plan plan;
        double from = processor();

        make_panel(&p, f, seed + 1000 * k);
        if (bt_edge_plan_find(&p.request, &plan, NULL) != BT_OK)
            return EXIT_FAILURE;
        slowest = fmax(slowest, (processor() - from) / 1000);
        nodes = plan.nodes > nodes ? plan.nodes : nodes;
        open += !plan.proven;
        bt_edge_plan_clear(&plan);
    }
    printf("24 boards, %-28s %6.3f of 1 s, %8zu nodes, %zu of %d not proven\n", f->name,
           slowest, nodes, open, PANELS);
    fflush(stdout);
    return open ? EXIT_FAILURE : EXIT_SUCCESS;
}

/* ---- scatter ---- */

enum { DRAWS = 100000, ROUNDS = 9, FIGURES = 6 };

/* A panel as a plan leaves it: whole boards alternate, two of them tapered. */
static void make_scatter(struct panel *p, struct bt_board_run run[])
{
    for (size_t i = 0; i < BOARDS; i++) {
        enum bt_run how = i % 2 ? BT_RUN_OUT : BT_RUN_IN;

        p->strip[i] =
            (struct bt_strip){80 + 5.0 * (double)(i % 7), 25, i % 12 == 5 ? 0.3 : 0};
        run[i] = (struct bt_board_run){how, how, false};
    }
    p->request.errors = (struct bt_edge_errors){.e = 0.12 * degree,
                                                .u_e = 0.05 * degree,
                                                .scatter = 0.03 * degree,
                                                .u_taper = 0.05};
}

static bool write_panel(const char *name, const struct panel *p,
                        const struct bt_board_run run[])
{
    const struct bt_edge_errors *e = &p->request.errors;
    FILE *file = fopen(name, "w");

    if (!file)
        return false;
    fprintf(file, "%.17g %.17g %.17g %.17g\n", e->e, e->u_e, e->scatter, e->u_taper);
    for (size_t i = 0; i < BOARDS; i++)
        fprintf(file, "%.17g %.17g %.17g %d %d\n", p->strip[i].width,
                p->strip[i].thickness, p->strip[i].taper,
                run[i].back == BT_RUN_IN ? 1 : -1, run[i].front == BT_RUN_IN ? 1 : -1);
    return fclose(file) == 0;
}

/* The second of two rounds, ms: then its memory is warm. */
static bool run_peer(const char *command, double *time, double figure[FIGURES])
{
    FILE *pipe = popen(command, "r");
    int read;

    if (!pipe)
        return false;
    read = fscanf(pipe, "%*f %lf", time);
    for (int k = 0; k < FIGURES; k++)
        read += fscanf(pipe, "%lf", &figure[k]);
    return pclose(pipe) == 0 && read == 1 + FIGURES;
}

static double run_ours(const struct panel *p, const struct bt_board_run run[],
                       double figure[FIGURES])
{
    struct bt_scatter_result r;
    double from = processor();

    if (bt_scatter_draw(BOARDS, p->strip, run, &p->request.errors, DRAWS, 1, &r,
                        NULL) != BT_OK)
        abort();
    from = processor() - from;
    figure[0] = r.cup.median, figure[1] = r.cup.p95;
    figure[2] = r.opening.median, figure[3] = r.opening.p95;
    figure[4] = r.kink.median, figure[5] = r.kink.p95;
    return from;
}

/* Two samples of 100,000 draws: a few parts in a thousand apart, hardly ever two in a
 * hundred. */
static bool agree(const double a[FIGURES], const double b[FIGURES])
{
    bool all = true;

    for (int k = 0; k < FIGURES; k++)
        all = all && fabs(a[k] - b[k]) <= 0.02 * fabs(b[k]);
    return all;
}

static int compare_scatter(const char *folder, const char *python, const char *peer)
{
    struct panel p = {.request = {.nboard = BOARDS}};
    struct bt_board_run run[BOARDS];
    double ratio[ROUNDS], ours[ROUNDS], theirs[ROUNDS], a[FIGURES], b[FIGURES];
    char name[1024], command[4096];

    make_scatter(&p, run);
    snprintf(name, sizeof name, "%s/edges", folder);
    snprintf(command, sizeof command, "%s %s %s %d 2", python, peer, name, DRAWS);
    if (!write_panel(name, &p, run))
        return EXIT_FAILURE;
    run_ours(&p, run, a);
    for (int k = 0; k < ROUNDS; k++) {
        if (!run_peer(command, &theirs[k], b))
            return EXIT_FAILURE;
        ours[k] = run_ours(&p, run, a);
        ratio[k] = theirs[k] / ours[k];
    }
    gsl_sort(ratio, 1, ROUNDS);
    gsl_sort(ours, 1, ROUNDS);
    gsl_sort(theirs, 1, ROUNDS);
    printf("scatter, %d draws of %d boards: %.1f times NumPy (%.1f ms against %.1f ms; "
           "%.1f to %.1f times)\n",
           DRAWS, BOARDS, ratio[ROUNDS / 2], ours[ROUNDS / 2], theirs[ROUNDS / 2],
           ratio[0], ratio[ROUNDS - 1]);
    printf("scatter, best rounds: %.1f times NumPy (%.2f ms against %.1f ms)\n",
           theirs[0] / ours[0], ours[0], theirs[0]);
    return agree(a, b) ? EXIT_SUCCESS : EXIT_FAILURE;
}

int main(int argc, char **argv)
{
    int result = EXIT_SUCCESS;

    gsl_set_error_handler_off();
    if (argc != 2 && argc != 4) {
        fprintf(stderr, "usage: bench_edges FOLDER [PYTHON PEER]\n");
        return 2;
    }
    for (size_t k = 0; k < sizeof families / sizeof *families; k++)
        if (time_family(&families[k], 1) != EXIT_SUCCESS)
            result = EXIT_FAILURE;
    if (argc == 4 && compare_scatter(argv[1], argv[2], argv[3]) != EXIT_SUCCESS)
        result = EXIT_FAILURE;
    return result;
}
