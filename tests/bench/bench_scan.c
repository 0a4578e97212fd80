/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A scan of a million points: reading and converting it, what `flatness` finds but the
 * straightedge figures, and the program with them, against a bare libcsv parse of the
 * same file; each by a process of its own.
 *
 *     bench_scan FOLDER PROGRAM
 *
 * FOLDER takes the file.  Invented surface.  The program starts itself as `bench_scan
 * --analyse FILE`.  The processes take turns; printed are the least processor times of
 * some rounds (user and system of the child), their ratios, and the largest memory that
 * the child held.  Exit status 1 where something does not run or reads another number
 * of points.
 */
#include <fcntl.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <unistd.h>

#include "bare_parse.h"
#include "benchtrue/ingest/job.h"
#include "benchtrue/report/map.h"
#include "benchtrue/surface/extremes.h"

enum { NX = 1250, NY = 800, ROUNDS = 7 };
enum work { PARSE, READ, ANALYSE, PROGRAM, WORKS };

static const double goals[WORKS] = {[READ] = 1.4, [ANALYSE] = 2.0};
static const char *const names[WORKS] = {"bare libcsv parse", "reading and converting",
                                         "flatness, no straightedge",
                                         "flatness, whole program"};

struct cost {
    double ms, mb;
};

static double uniform(unsigned long long *state)
{
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    return (double)(*state >> 11) / 9007199254740992.0 - 0.5;
}

/* As a scanner would export it: mm to three decimals, heights to four. */
static int write_scan(const char *path)
{
    unsigned long long state = 20260301;
    FILE *file = fopen(path, "wb");

    if (!file)
        return 0;
    fputs("x_mm,y_mm,z_mm\n", file);
    for (int j = 0; j < NY; j++) {
        for (int i = 0; i < NX; i++) {
            const double x = i + 0.04 * uniform(&state), y = j + 0.04 * uniform(&state);
            const double cup = (y - 400) / 400, noise = uniform(&state);
            fprintf(file, "%.3f,%.3f,%.4f\n", x, y,
                    12 + 0.4 * sin(x / 400) + 0.6 * cup * cup + 1e-4 * x +
                        0.05 * noise);
        }
    }
    return fclose(file) == 0;
}

static int read_scan(const char *path)
{
    const struct bt_load_options options = {.length = NAN, .width = NAN};
    struct bt_faults faults = {0};
    struct bt_job job = {0};
    int bad;

    bt_job_init(&job);
    bad = bt_job_load(path, &options, &job, &faults) != BT_OK ||
          job.set[0].readings.npoint != NX * NY;
    bt_job_clear(&job);
    bt_faults_clear(&faults);
    return bad;
}

/* Everything but the straightedge figures, to the last line of the text's map. */
static int analyse(const char *path)
{
    const struct bt_load_options options = {.length = NAN, .width = NAN};
    const struct bt_extremes_request request = {.nspan = 0};
    struct bt_faults faults = {0};
    struct bt_buffer out = {0};
    struct bt_job job = {0};
    struct bt_flatness f;
    struct bt_extremes e;
    const struct bt_readings *r;
    int bad = 1;

    bt_job_init(&job);
    if (bt_job_load(path, &options, &job, &faults) != BT_OK)
        return 1;
    r = &job.set[0].readings;
    if (bt_flatness_evaluate(r, &(struct bt_flatness_options){.one_reference = true},
                             &f, NULL) == BT_OK &&
        bt_extremes_evaluate(&f, &request, &e, NULL) == BT_OK) {
        bt_map_draw(&out, r->npoint, r->point, f.z, &f.form.rectangle,
                    f.residual.range.u, BT_SYSTEM_MM);
        bad = bt_buffer_status(&out) != BT_OK || !(e.zone.vertical > 0) ||
              puts(out.text) < 0;
    }
    bt_extremes_clear(&e);
    bt_flatness_clear(&f);
    bt_buffer_clear(&out);
    bt_job_clear(&job);
    bt_faults_clear(&faults);
    return bad;
}

/* In the child. */
static int work(enum work what, char *const argv[], const char *path)
{
    int nothing;

    if (what == PARSE)
        return !(bare_parse(path) > 0);
    if (what == READ)
        return read_scan(path);
    nothing = open("/dev/null", O_WRONLY);
    if (nothing < 0 || dup2(nothing, STDOUT_FILENO) < 0)
        return 1;
    if (what == ANALYSE)
        execl(argv[0], argv[0], "--analyse", path, (char *)NULL);
    else
        execl(argv[2], argv[2], "flatness", path, (char *)NULL);
    return 127;
}

static double ms_of(const struct timeval *t)
{
    return 1e3 * (double)t->tv_sec + 1e-3 * (double)t->tv_usec;
}

/* The children's times add up; the memory is that of the largest so far, so they are
 * run in order of what they hold. */
static int run(enum work what, char *const argv[], const char *path, struct cost *cost)
{
    struct rusage before, after;
    pid_t child;
    double ms;
    int status;

    getrusage(RUSAGE_CHILDREN, &before);
    child = fork();
    if (child == 0)
        _exit(work(what, argv, path));
    if (child < 0 || waitpid(child, &status, 0) != child || !WIFEXITED(status) ||
        WEXITSTATUS(status) != 0)
        return 0;
    getrusage(RUSAGE_CHILDREN, &after);
    ms = ms_of(&after.ru_utime) + ms_of(&after.ru_stime) - ms_of(&before.ru_utime) -
         ms_of(&before.ru_stime);
    cost->ms = fmin(cost->ms, ms);
    cost->mb = (double)after.ru_maxrss / 1024; /* Linux: in KB */
    return 1;
}

int main(int argc, char *argv[])
{
    struct cost cost[WORKS];
    const double most = (2.5 * 24 * NX * NY) / 1048576 + 16;
    char path[1024];
    int ok;

    if (argc == 3 && strcmp(argv[1], "--analyse") == 0)
        return analyse(argv[2]);
    if (argc != 3) {
        fprintf(stderr, "usage: bench_scan FOLDER PROGRAM\n");
        return 2;
    }
    snprintf(path, sizeof path, "%s/scan.csv", argv[1]);
    for (int what = PARSE; what < WORKS; what++)
        cost[what] = (struct cost){INFINITY, 0};
    ok = write_scan(path);
    for (int k = 0; k < ROUNDS && ok; k++)
        for (int what = PARSE; what < WORKS && ok; what++) {
            struct cost held = cost[what];
            ok = run((enum work)what, argv, path, &held);
            if (k > 0)
                held.mb = cost[what].mb; /* the first round tells */
            cost[what] = held;
        }
    remove(path);
    if (!ok) {
        fprintf(stderr, "bench_scan: something does not run\n");
        return EXIT_FAILURE;
    }
    printf("a million points                 ms      MB   ratio    goal\n");
    for (int what = PARSE; what < WORKS; what++) {
        double ratio = cost[what].ms / cost[PARSE].ms;
        printf("%-26s %8.1f %7.1f %7.2f", names[what], cost[what].ms, cost[what].mb,
               ratio);
        if (goals[what] > 0)
            printf(" %7.2f %s", goals[what], ratio <= goals[what] ? "met" : "MISSED");
        printf("\n");
    }
    printf("memory of the whole program %.1f MB, goal %.1f MB %s\n", cost[PROGRAM].mb,
           most, cost[PROGRAM].mb <= most ? "met" : "MISSED");
    return EXIT_SUCCESS;
}
