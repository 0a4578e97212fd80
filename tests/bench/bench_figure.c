/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Time of the figures of a scan against the time of its analysis, in one process: the
 * drawing is to follow the resolution of the page, not that of the data.
 *
 *   bench_figure [POINTS]   default 1000000; the scan is written to a file of its own
 *                           beside the temporary files and removed at the end
 */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include <gsl/gsl_errno.h>

#include "benchtrue/draw/figure.h"
#include "benchtrue/report/result.h"

/* The goal: so many times the analysis, reading included, at most. */
static const double goal = 3;

static double now(void)
{
    struct timespec t;

    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* 0 to 1: linear congruential sequence with the constants of D. E. Knuth's MMIX, from
 * memory; the same on every machine. */
static double next(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0;
}

/* A panel of 1250 x 800 mm, wound and hollow, with noise of a hundredth. */
static bool write_scan(char path[], size_t n)
{
    int descriptor = mkstemp(path);
    FILE *file = descriptor < 0 ? NULL : fdopen(descriptor, "w");
    uint64_t state = 5;
    bool good;

    if (!file)
        return false;
    fputs("x_mm,y_mm,z_mm\n", file);
    for (size_t i = 0; i < n; i++) {
        double x = 1250 * next(&state), y = 800 * next(&state);
        double z = 1.1 * sin(x / 390) * (1 - y / 800) + 0.6 * x * y / 1e6 -
                   0.4 * cos(y / 160) + 0.02 * (next(&state) - 0.5);

        fprintf(file, "%.2f,%.2f,%.3f\n", x, y, z);
    }
    good = !ferror(file);
    return fclose(file) == 0 && good;
}

static bool draw_all(const struct bt_set_result *r, double analysis)
{
    static const char *const names[] = {"svg", "pdf", "png"};
    const struct bt_figure_input input = {
        .job = r->job, .set = r->set, .flatness = &r->flatness, .band = NAN};

    for (int k = 0; k < 3; k++) {
        struct bt_figure_bytes bytes;
        struct bt_error err;
        double start = now(), took;

        if (bt_figure_map(&input, (enum bt_figure_format)k, &bytes, &err) != BT_OK) {
            fprintf(stderr, "bench_figure: %s\n", err.message);
            return false;
        }
        took = now() - start;
        printf("map, %s  %10.3f  %10.3f  %6.2f  %6.2f  %s\n", names[k], took * 1e3,
               analysis * 1e3, took / analysis, goal,
               took <= goal * analysis ? "met" : "MISSED");
        bt_figure_bytes_clear(&bytes);
    }
    return true;
}

static bool run(const char *path)
{
    const struct bt_load_options options = {.length = NAN, .width = NAN};
    struct bt_job job = {0};
    struct bt_faults faults = {0};
    struct bt_set_result result = {0};
    struct bt_error err = {.message = "the scan cannot be read"};
    double start = now();
    bool good = bt_job_load(path, &options, &job, &faults) == BT_OK &&
                bt_set_evaluate(&job, &job.set[0], NULL, &result, &err) == BT_OK;

    if (good)
        good = draw_all(&result, now() - start);
    else
        fprintf(stderr, "bench_figure: %s\n", err.message);
    bt_set_result_clear(&result);
    bt_job_clear(&job);
    bt_faults_clear(&faults);
    return good;
}

int main(int argc, char *argv[])
{
    char path[] = "/tmp/benchtrue_scan_XXXXXX";
    long n = argc > 1 ? atol(argv[1]) : 1000000;
    bool good;

    if (argc > 2 || n < 3) {
        fprintf(stderr, "usage: bench_figure [POINTS]\n");
        return 2;
    }
    gsl_set_error_handler_off();
    good = write_scan(path, (size_t)n);
    if (good) {
        printf("figure     ours, ms  analysis, ms  ratio    goal\n");
        good = run(path);
    } else {
        perror(path);
    }
    unlink(path);
    bt_figure_teardown();
    return good ? EXIT_SUCCESS : EXIT_FAILURE;
}
