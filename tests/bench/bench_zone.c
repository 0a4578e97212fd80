/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Plane with residuals and exact zone of a million points, against a bare libcsv parse
 * of a file with the same points, and against NumPy and HiGHS where they are installed;
 * passes over a million points of 15 shapes.
 *
 *     bench_zone FOLDER [PYTHON PEER]    peer_zone.py of this folder
 *
 * FOLDER takes the files.  Invented surfaces.  Prints processor times in ms, the least
 * of some rounds, and ratios of the same run.  Exit status 1 if results disagree or a
 * shape takes more passes than it should.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "bare_parse.h"
#include "benchtrue/surface/zone.h"
#include "zone_shapes.h"

enum { NX = 1250, NY = 800, POINTS = NX * NY, ROUNDS = 7, PANEL = 2 };
enum { PANEL_PASSES = 3, ANY_PASSES = 10 };

struct bench {
    struct bt_point *p;
    double *z, *residual;
    char text[1024], binary[1024];
};

static double now(void)
{
    struct timespec t;

    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

static void fail(const char *what)
{
    fprintf(stderr, "bench_zone: %s\n", what);
    exit(EXIT_FAILURE);
}

static FILE *open_or_fail(const char *path, const char *mode)
{
    FILE *file = fopen(path, mode);

    if (!file)
        fail("a file cannot be opened");
    return file;
}

/* As a scanner would export them: mm to three decimals, heights to four. */
static void write_points(const struct bench *b)
{
    FILE *text = open_or_fail(b->text, "wb"), *binary = open_or_fail(b->binary, "wb");

    fputs("x_mm,y_mm,z_mm\n", text);
    for (size_t i = 0; i < POINTS; i++) {
        const double point[3] = {b->p[i].x, b->p[i].y, b->z[i]};
        fprintf(text, "%.3f,%.3f,%.4f\n", point[0], point[1], point[2]);
        fwrite(point, sizeof point, 1, binary);
    }
    if (fclose(text) || fclose(binary))
        fail("a file cannot be written");
}

static double time_parse(const struct bench *b)
{
    const double ms = bare_parse(b->text);

    if (!(ms > 0))
        fail("the file cannot be parsed");
    return ms;
}

static double time_plane(const struct bench *b)
{
    const double start = now();
    struct bt_plane plane;

    if (bt_plane_fit(POINTS, b->p, b->z, &plane, b->residual, NULL) != BT_OK)
        fail("no plane");
    return now() - start;
}

static double time_zone(const struct bench *b, struct bt_zone *zone)
{
    const double start = now();

    if (bt_zone_fit(POINTS, b->p, b->z, zone, NULL) != BT_OK)
        fail("no zone");
    return now() - start;
}

/* Time of the peer, NAN where it is not there. */
static double time_peer(const struct bench *b, char *const argv[], double width)
{
    char command[3072];
    double peer, ms = NAN;
    FILE *pipe;
    int got;

    snprintf(command, sizeof command, "'%s' '%s' '%s'", argv[2], argv[3], b->binary);
    pipe = popen(command, "r");
    if (!pipe)
        return NAN;
    got = fscanf(pipe, "%lf %lf", &peer, &ms);
    if (pclose(pipe) != 0 || got != 2)
        return NAN;
    if (!(fabs(peer - width) <= 1e-9 * width))
        fail("the peer finds another width");
    return ms;
}

static void compare(const struct bench *b, char *const peer[])
{
    double parse = INFINITY, plane = INFINITY, zone = INFINITY, other;
    struct bt_zone found;

    write_points(b);
    for (int k = 0; k < ROUNDS; k++) {
        parse = fmin(parse, time_parse(b));
        plane = fmin(plane, time_plane(b));
        zone = fmin(zone, time_zone(b, &found));
    }
    printf("a million points, %s\n", zone_shape_name(PANEL));
    printf("  bare libcsv parse     %8.1f ms\n", parse);
    printf("  plane and residuals   %8.1f ms  %.3f of the parse\n", plane,
           plane / parse);
    printf("  exact zone            %8.1f ms  %.3f of the parse\n", zone, zone / parse);
    printf("  together                          %.3f of the parse (goal 0.10)\n",
           (plane + zone) / parse);
    other = peer ? time_peer(b, peer, found.vertical) : NAN;
    if (isnan(other))
        printf("  NumPy with HiGHS      not here\n");
    else
        printf("  NumPy with HiGHS      %8.1f ms  %.1f of plane and zone\n", other,
               other / (plane + zone));
}

static int count_passes(const struct bench *b)
{
    int result = EXIT_SUCCESS;

    printf("\n%-30s %6s %8s %12s %10s\n", "shape", "passes", "ms", "width mm", "gap");
    for (size_t k = 0; k < ZONE_SHAPES; k++) {
        const size_t most = k < ZONE_PANELS ? PANEL_PASSES : ANY_PASSES;
        struct bt_zone zone;
        double ms;

        zone_shape_make(k, NX, NY, b->p, b->z);
        ms = time_zone(b, &zone);
        printf("%-30s %6zu %8.1f %12.6f %10.1e\n", zone_shape_name(k), zone.passes, ms,
               zone.vertical, zone.gap);
        if (zone.passes > most || !(zone.gap <= 1e-12 * zone.vertical))
            result = EXIT_FAILURE;
    }
    return result;
}

int main(int argc, char *argv[])
{
    struct bench b = {.p = malloc(POINTS * sizeof *b.p),
                      .z = malloc(POINTS * sizeof *b.z),
                      .residual = malloc(POINTS * sizeof *b.residual)};
    int result;

    if (argc != 2 && argc != 4)
        fail("usage: bench_zone FOLDER [PYTHON PEER]");
    if (!b.p || !b.z || !b.residual)
        fail("out of memory");
    snprintf(b.text, sizeof b.text, "%s/zone.csv", argv[1]);
    snprintf(b.binary, sizeof b.binary, "%s/zone.bin", argv[1]);
    zone_shape_make(PANEL, NX, NY, b.p, b.z);
    compare(&b, argc == 4 ? argv : NULL);
    result = count_passes(&b);
    remove(b.text);
    remove(b.binary);
    free(b.p);
    free(b.z);
    free(b.residual);
    return result;
}
