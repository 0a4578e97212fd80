/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Time of a complete network adjustment against CHOLMOD with a selected inverse, in
 * one process and turn by turn: processor time, which other programs on the machine
 * disturb least; all of it is one thread.  Results are compared first; nothing is timed
 * that computes something else.
 *
 *   bench_network [FOLDER]   FOLDER: where peers in other languages find the networks,
 *                            our results and our times
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "grid.h"
#include "peer_cholmod.h"

static const struct {
    size_t nx, ny;
    int repetitions;
} sizes[] = {{9, 5, 4000}, {30, 15, 1000}, {100, 50, 80}, {200, 100, 25}};

static double now(void)
{
    struct timespec t;

    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static bool adjust(const struct bench_grid *grid, struct bench_answer *answer)
{
    const struct bt_readings *r = &grid->readings;
    struct bt_network *net;
    struct bt_error err;
    bool done = bt_network_adjust(r, &net, &err) == BT_OK;

    if (!done) {
        fprintf(stderr, "bench_network: %s\n", err.message);
        return false;
    }
    for (size_t k = 0; k < BENCH_FIGURES; k++) {
        bool seen = false;
        done = done &&
               bt_network_figure(net, grid->figure + k * r->npoint, &answer->value[k],
                                 &answer->u[k], &seen) == BT_OK &&
               seen;
    }
    for (size_t p = 0; p < r->npoint; p++)
        answer->height[p] = net->height[p];
    for (size_t i = 0; i < r->nobs; i++)
        answer->redundancy[i] = net->redundancy[i];
    answer->sigma0 = net->sigma0;
    done = done && net->rank == r->npoint + 2 * r->ngroup - 3 &&
           net->dof == r->nobs - net->rank;
    bt_network_free(net);
    return done;
}

/* Largest difference of two arrays, in shares of the largest value. */
static double difference(size_t n, const double a[], const double b[])
{
    double most = 0, largest = 0;

    for (size_t i = 0; i < n; i++) {
        if (!(fabs(a[i] - b[i]) <= most))
            most = fabs(a[i] - b[i]);
        if (!(fabs(b[i]) <= largest))
            largest = fabs(b[i]);
    }
    return most / largest;
}

static bool same(const char *what, double got, double limit)
{
    const bool good = got <= limit;

    if (!good)
        fprintf(stderr, "bench_network: %s differ by %.2g, allowed %.2g\n", what, got,
                limit);
    return good;
}

/* Redundancies are differences from 1, hence the wider limit. */
static bool agree(const struct bench_grid *grid, const struct bench_answer *ours,
                  const struct bench_answer *peer)
{
    const struct bt_readings *r = &grid->readings;
    const double dof = (double)(r->nobs + 3) - (double)(r->npoint + 2 * r->ngroup);
    double sum = 0;
    bool good =
        same("heights", difference(r->npoint, ours->height, peer->height), 1e-9);

    for (size_t i = 0; i < r->nobs; i++)
        sum += ours->redundancy[i];
    good &=
        same("sum of redundancies and degrees of freedom", fabs(sum - dof) / dof, 1e-9);
    good &= same("redundancies",
                 difference(r->nobs, ours->redundancy, peer->redundancy), 1e-7);
    good &= same("sigma0", difference(1, &ours->sigma0, &peer->sigma0), 1e-9);
    good &= same("figures", difference(BENCH_FIGURES, ours->value, peer->value), 1e-9);
    good &= same("uncertainties", difference(BENCH_FIGURES, ours->u, peer->u), 1e-7);
    return good;
}

static void keep_least(double *least, double start)
{
    const double took = now() - start;

    if (took < *least)
        *least = took;
}

/* Best times: ours, CHOLMOD by columns, CHOLMOD by supernodes. */
static bool measure(const struct bench_grid *grid, int repetitions,
                    struct bench_answer *ours, double best[3])
{
    static const int kind[] = {CHOLMOD_SIMPLICIAL, CHOLMOD_SUPERNODAL};
    struct bench_answer peer = {0};
    cholmod_common common;
    bool done = bench_answer_alloc(grid, &peer) && adjust(grid, ours);

    cholmod_start(&common);
    common.final_ll = 0;
    if (done)
        bench_pin(grid, ours->height);
    for (int k = 0; k < 2 && done; k++) {
        common.supernodal = kind[k];
        done = bench_cholmod(grid, &common, &peer) && agree(grid, ours, &peer);
    }
    best[0] = best[1] = best[2] = HUGE_VAL;
    for (int i = 0; i < repetitions && done; i++) {
        double start = now();
        adjust(grid, &peer);
        keep_least(&best[0], start);
        for (int k = 0; k < 2; k++) {
            common.supernodal = kind[k];
            start = now();
            bench_cholmod(grid, &common, &peer);
            keep_least(&best[1 + k], start);
        }
    }
    cholmod_finish(&common);
    bench_answer_free(&peer);
    return done;
}

/* Doubles in the machine's own order: a line's reading is point, group, place along
 * the edge, value, u. */
static bool write_network(const char *folder, const struct bench_grid *grid,
                          const struct bench_answer *ours, double best)
{
    const struct bt_readings *r = &grid->readings;
    char path[4096];
    FILE *f;
    bool done;

    snprintf(path, sizeof path, "%s/%zux%zu.bin", folder, grid->nx, grid->ny);
    f = fopen(path, "wb");
    if (!f) {
        perror(path);
        return false;
    }
    {
        const double head[] = {(double)r->npoint,
                               (double)r->nobs,
                               (double)r->ngroup,
                               BENCH_FIGURES,
                               best,
                               ours->sigma0,
                               (double)grid->pin[0],
                               (double)grid->pin[1],
                               (double)grid->pin[2]};
        fwrite(head, sizeof head, 1, f);
    }
    for (size_t i = 0; i < r->nobs; i++) {
        const struct bt_obs *o = &r->obs[i];
        const double row[] = {(double)o->point[0], (double)o->group, o->edge, o->value,
                              o->u};
        fwrite(row, sizeof row, 1, f);
    }
    fwrite(grid->figure, sizeof(double), BENCH_FIGURES * r->npoint, f);
    fwrite(ours->height, sizeof(double), r->npoint, f);
    fwrite(ours->redundancy, sizeof(double), r->nobs, f);
    fwrite(ours->value, sizeof(double), BENCH_FIGURES, f);
    fwrite(ours->u, sizeof(double), BENCH_FIGURES, f);
    done = !ferror(f);
    if (fclose(f) != 0 || !done) {
        perror(path);
        return false;
    }
    return true;
}

static bool run(size_t nx, size_t ny, int repetitions, const char *folder)
{
    struct bench_grid grid;
    struct bench_answer ours = {0};
    double best[3];
    bool done = bench_grid_make(nx, ny, &grid) && bench_answer_alloc(&grid, &ours) &&
                measure(&grid, repetitions, &ours, best);

    if (done) {
        const double peer = fmin(best[1], best[2]);
        printf("%3zux%-3zu %6zu  %10.3f  %10.3f  %-30s %8.2f  %6.2f  %s\n", nx, ny,
               grid.readings.nobs, best[0] * 1e3, peer * 1e3,
               best[1] < best[2] ? "CHOLMOD and inverse, columns"
                                 : "CHOLMOD and inverse, supernodes",
               peer / best[0], 1.0, peer >= best[0] ? "met" : "MISSED");
        fflush(stdout);
        done = !folder || write_network(folder, &grid, &ours, best[0]);
    } else {
        fprintf(stderr, "bench_network: %zux%zu: no comparison\n", nx, ny);
    }
    bench_answer_free(&ours);
    bench_grid_clear(&grid);
    return done;
}

int main(int argc, char *argv[])
{
    bool done = true;

    if (argc > 2) {
        fprintf(stderr, "usage: bench_network [FOLDER]\n");
        return 2;
    }
    printf("points  readings   ours, ms    peer, ms  peer                              "
           "ratio    goal\n");
    for (size_t k = 0; k < sizeof sizes / sizeof sizes[0] && done; k++)
        done = run(sizes[k].nx, sizes[k].ny, sizes[k].repetitions,
                   argc == 2 ? argv[1] : NULL);
    return done ? EXIT_SUCCESS : EXIT_FAILURE;
}
