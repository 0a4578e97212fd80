/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Draws of zone, range and straightedge gap on a panel of 9 x 5 points: against the
 * time that the normal numbers take, two threads against one, and against NumPy and
 * SciPy where they are installed.
 *
 *     bench_draws FOLDER [PYTHON PEER]    peer_draws.py of this folder
 *
 * Invented panel.  Prints medians of the ratios of several rounds, the ways in turn,
 * since other programs may use the processors too.  Where they do, two threads cannot
 * be twice as fast: the best round and the processor time are printed beside, which
 * says what the threads themselves cost.  Exit status 1 where results differ.
 */
#include <gsl/gsl_errno.h>
#include <gsl/gsl_sort.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "surface/draws_private.h"

enum { NX = 9, NY = 5, N = NX * NY, DRAWS = 100000, ROUNDS = 9, SOME = 300, EDGES = 4 };

/* Two threads against one: many short rounds, so that some find the processors free. */
enum { THREAD_ROUNDS = 41, THREAD_DRAWS = 20000 };

struct bench {
    struct bt_point p[N];
    double covariance[N * N];
    struct bt_draws_edge edge[EDGES];
    struct bt_draws_request request;
    double *h, *width; /* [DRAWS][N], [DRAWS] */
};

static double seconds(clockid_t clock)
{
    struct timespec t;

    clock_gettime(clock, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double median(size_t n, double v[])
{
    gsl_sort(v, 1, n);
    return (v[(n - 1) / 2] + v[n / 2]) / 2;
}

static void *take(size_t count, size_t size)
{
    void *block = calloc(count, size);

    if (!block)
        abort();
    return block;
}

static void lay(struct bench *b)
{
    for (size_t i = 0; i < N; i++) {
        b->p[i] = (struct bt_point){150.0 * (double)(i % NX), 100.0 * (double)(i / NX)};
        b->covariance[i * N + i] = 0.02 * 0.02;
    }
    for (int k = 0; k < EDGES; k++)
        b->edge[k] = (struct bt_draws_edge){{.length = 1200, .width = 400, .band = 6},
                                            k % 2 ? BT_EDGE_ACROSS : BT_EDGE_ALONG,
                                            k < 2 ? 600 : 2000,
                                            0};
    b->request = (struct bt_draws_request){.n = N,
                                           .p = b->p,
                                           .covariance = b->covariance,
                                           .nedge = EDGES,
                                           .edge = b->edge,
                                           .seed = 1,
                                           .draws = DRAWS,
                                           .threads = 1};
}

/* ---- one way at a time, us a draw ---- */

static double time_normals(struct bench *b)
{
    const double from = seconds(CLOCK_PROCESS_CPUTIME_ID);

    for (size_t block = 0; block < DRAWS / LANES; block++) {
        struct bt_random random;

        bt_random_start(&random, 1, block);
        bt_random_normals(&random, N * LANES, b->h + block * N * LANES);
    }
    return 1e6 * (seconds(CLOCK_PROCESS_CPUTIME_ID) - from) / DRAWS;
}

static double time_zone(struct bench *b, const struct draws_zone *zone,
                        struct draws_zone_work *work)
{
    const double from = seconds(CLOCK_PROCESS_CPUTIME_ID);

    for (size_t k = 0; k < DRAWS; k++) {
        memcpy(work->h, b->h + k * N, N * sizeof *work->h);
        b->width[k] = draws_zone_width(zone, work);
    }
    return 1e6 * (seconds(CLOCK_PROCESS_CPUTIME_ID) - from) / DRAWS;
}

struct figures {
    struct bt_drawn range, zone, edge[EDGES];
};

/* *processor: time of all threads. */
static double time_all(struct bench *b, unsigned threads, struct figures *out,
                       double *processor)
{
    const double from = seconds(CLOCK_MONOTONIC);
    const double used = seconds(CLOCK_PROCESS_CPUTIME_ID);

    b->request.threads = threads;
    if (bt_draws_run(&b->request, &out->range, &out->zone, out->edge, NULL) != BT_OK)
        abort();
    *processor = seconds(CLOCK_PROCESS_CPUTIME_ID) - used;
    return 1e6 * (seconds(CLOCK_MONOTONIC) - from) / (double)b->request.draws;
}

static int compare_threads(struct bench *b)
{
    double speedup[THREAD_ROUNDS], cost[THREAD_ROUNDS], middle;
    struct figures one, two;
    int result = EXIT_SUCCESS;

    b->request.draws = THREAD_DRAWS;
    for (int k = 0; k < THREAD_ROUNDS; k++) {
        double alone, both;

        speedup[k] = time_all(b, 1, &one, &alone);
        speedup[k] /= time_all(b, 2, &two, &both);
        cost[k] = both / alone;
        if (memcmp(&one, &two, sizeof one) != 0)
            result = EXIT_FAILURE;
    }
    b->request.draws = DRAWS;
    middle = median(THREAD_ROUNDS, speedup);
    printf("two threads %.2f times as fast as one, best round %.2f (goal 1.8); "
           "processor time of both %.3f of one\n",
           middle, speedup[THREAD_ROUNDS - 1], median(THREAD_ROUNDS, cost));
    if (result != EXIT_SUCCESS)
        printf("two threads do not give what one gives\n");
    return result;
}

/* ---- peers ---- */

static void write_file(const char *name, size_t n, const double v[])
{
    FILE *file = fopen(name, "wb");

    if (!file || fwrite(v, sizeof *v, n, file) != n || fclose(file))
        abort();
}

static int compare_widths(const struct bench *b, const char *name)
{
    double *want = take(DRAWS, sizeof *want), most = 0;
    FILE *file = fopen(name, "rb");

    if (!file || fread(want, sizeof *want, DRAWS, file) != DRAWS)
        most = NAN;
    for (size_t k = 0; k < DRAWS; k++)
        most = fabs(want[k] - b->width[k]) <= most ? most : fabs(want[k] - b->width[k]);
    if (file)
        fclose(file);
    free(want);
    printf("largest difference from NumPy's widths %.1e\n", most);
    return most <= 1e-9 ? EXIT_SUCCESS : EXIT_FAILURE;
}

static int compare_peer(const struct bench *b, char *argv[], double zone)
{
    char place[512], heights[512], widths[512], command[4096];
    double exchange = NAN, programme = NAN, normals = NAN, differ = NAN;
    int result = EXIT_FAILURE;
    FILE *pipe;

    snprintf(place, sizeof place, "%s/draws_places", argv[1]);
    snprintf(heights, sizeof heights, "%s/draws_heights", argv[1]);
    snprintf(widths, sizeof widths, "%s/draws_widths", argv[1]);
    write_file(place, 2 * N, &b->p[0].x);
    write_file(heights, (size_t)DRAWS * N, b->h);
    snprintf(command, sizeof command, "'%s' '%s' '%s' '%s' %d %d '%s'", argv[2],
             argv[3], place, heights, N, SOME, widths);
    pipe = popen(command, "r");
    if (pipe && fscanf(pipe, "%lf %lf %lf %lf", &exchange, &programme, &normals,
                       &differ) == 4) {
        printf("SciPy's linear programme %.0f us a draw: %.0f times (goal 400)\n",
               programme, programme / zone);
        printf("batched NumPy exchange %.2f us a draw: %.1f times (goal 5)\n", exchange,
               exchange / zone);
        printf(
            "NumPy's normal numbers %.2f us a draw; SciPy and NumPy differ by %.1e\n",
            normals, differ);
        result = compare_widths(b, widths);
    } else {
        printf("the peer did not run\n");
    }
    if (pipe)
        pclose(pipe);
    remove(place);
    remove(heights);
    remove(widths);
    return result;
}

int main(int argc, char *argv[])
{
    static struct bench b;
    double normals[ROUNDS], zones[ROUNDS], by_normals[ROUNDS], all[ROUNDS], used, us;
    struct draws_zone zone;
    struct draws_zone_work work;
    struct figures figures;
    int result;

    gsl_set_error_handler_off();
    b.h = take((size_t)DRAWS * N, sizeof *b.h);
    b.width = take(DRAWS, sizeof *b.width);
    lay(&b);
    if (draws_zone_make(N, b.p, &zone) != BT_OK || !draws_zone_work_make(&zone, &work))
        abort();
    time_normals(&b); /* pages of the memory */
    for (int k = 0; k < ROUNDS; k++) {
        normals[k] = time_normals(&b);
        zones[k] = time_zone(&b, &zone, &work);
        by_normals[k] = zones[k] / normals[k];
        time_all(&b, 1, &figures, &used);
        all[k] = 1e6 * used / DRAWS;
    }
    us = median(ROUNDS, zones);
    printf("%d draws on %d x %d points, us a draw: normal numbers %.2f, zone %.2f, "
           "range, zone and %d gaps with their noise %.2f\n",
           DRAWS, NX, NY, median(ROUNDS, normals), us, EDGES, median(ROUNDS, all));
    printf("zone %.2f times the normal numbers (goal 3)\n", median(ROUNDS, by_normals));
    result = compare_threads(&b);
    if (argc == 4 && compare_peer(&b, argv, us) != EXIT_SUCCESS)
        result = EXIT_FAILURE;
    draws_zone_work_clear(&work);
    draws_zone_clear(&zone);
    free(b.h);
    free(b.width);
    return result;
}
