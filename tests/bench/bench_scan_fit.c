/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Plane, form and residuals of a million points, alone and with the exact zone, against
 * a bare libcsv parse of a file with the same points.
 *
 *     bench_scan_fit FOLDER
 *
 * FOLDER takes the file.  Invented surface.  Prints processor times in ms, the least of
 * some rounds, and their shares of the parse in the same run.  Exit status 1 if the
 * plane is not that of the fit in extended precision.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "bare_parse.h"
#include "benchtrue/surface/scan.h"
#include "benchtrue/surface/zone.h"
#include "surface/plane_private.h"
#include "zone_shapes.h"

enum { NX = 1250, NY = 800, POINTS = NX * NY, ROUNDS = 15, PANEL = 2 };

struct bench {
    struct bt_scan scan;
    struct bt_point *p;
    double *z, *relative;
    char text[1024];
};

static double now(void)
{
    struct timespec t;

    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

static void fail(const char *what)
{
    fprintf(stderr, "bench_scan_fit: %s\n", what);
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
    FILE *text = open_or_fail(b->text, "wb");

    fputs("x_mm,y_mm,z_mm\n", text);
    for (size_t i = 0; i < POINTS; i++)
        fprintf(text, "%.3f,%.3f,%.4f\n", b->p[i].x, b->p[i].y, b->z[i]);
    if (fclose(text))
        fail("a file cannot be written");
}

static double time_parse(const struct bench *b)
{
    const double ms = bare_parse(b->text);

    if (!(ms > 0))
        fail("the file cannot be parsed");
    return ms;
}

static double time_plane(const struct bench *b, struct bt_plane *plane)
{
    const double start = now();

    if (bt_plane_fit(POINTS, b->p, b->z, plane, b->relative, NULL) != BT_OK)
        fail("no plane");
    return now() - start;
}

static double time_form(const struct bench *b, double relative[], double u[])
{
    const struct bt_rectangle panel = {b->p[0].x, b->p[0].y, b->p[POINTS - 1].x,
                                       b->p[POINTS - 1].y};
    const double start = now();
    struct bt_scan_figures figures;

    if (bt_scan_form(&b->scan, &panel, &figures, relative, u, NULL) != BT_OK)
        fail("no form");
    return now() - start;
}

static double time_zone(const struct bench *b)
{
    const double start = now();
    struct bt_zone zone;

    if (bt_zone_fit(POINTS, b->p, b->z, &zone, NULL) != BT_OK)
        fail("no zone");
    return now() - start;
}

/* The same plane with all care; heights of 1e6 mm, where doubles are 1e-10 mm apart, as
 * well. */
static double time_care(const struct bench *b, const struct bt_plane *plane)
{
    const double start = now();
    struct plane_solution solution;
    struct bt_plane careful;
    double ms;

    if (plane_solve(POINTS, b->p, b->z, &solution, NULL) != BT_OK ||
        plane_unframe(&solution, &careful, NULL) != BT_OK)
        fail("no careful plane");
    ms = now() - start;
    if (!(fabs(plane->a - careful.a) <= 1e-13 * fabs(careful.a)) ||
        !(fabs(plane->b - careful.b) <= 1e-13 * fabs(careful.b)) ||
        !(fabs(plane->c - careful.c) <= 1e-13 * fabs(careful.c)))
        fail("the careful plane is another");
    return ms;
}

static void report(const char *what, double ms, double parse)
{
    printf("%-36s %8.1f ms  %.3f of the parse\n", what, ms, ms / parse);
}

static void compare(const struct bench *b)
{
    double parse = INFINITY, plane = INFINITY, form = INFINITY, zone = INFINITY;
    double bare = INFINITY, doubts = INFINITY, care;
    double *u = malloc(POINTS * sizeof *u);
    struct bt_plane found;

    if (!u)
        fail("out of memory");
    for (int k = 0; k < ROUNDS; k++) {
        parse = fmin(parse, time_parse(b));
        plane = fmin(plane, time_plane(b, &found));
        bare = fmin(bare, time_form(b, NULL, NULL));
        form = fmin(form, time_form(b, b->relative, NULL));
        doubts = fmin(doubts, time_form(b, b->relative, u));
        zone = fmin(zone, time_zone(b));
    }
    care = time_care(b, &found);
    printf("a million points, %s\n", zone_shape_name(PANEL));
    printf("%-36s %8.1f ms\n", "bare libcsv parse", parse);
    report("plane and residuals", plane, parse);
    report("plane in extended precision", care, parse);
    report("plane, form, extremes", bare, parse);
    report("plane, form, residuals", form, parse);
    report("plane, form, residuals, u of each", doubts, parse);
    report("exact zone", zone, parse);
    report("plane, form, residuals, exact zone", form + zone, parse);
    free(u);
}

int main(int argc, char *argv[])
{
    struct bench b = {.p = malloc(POINTS * sizeof *b.p),
                      .z = malloc(POINTS * sizeof *b.z),
                      .relative = malloc(POINTS * sizeof *b.relative)};

    if (argc != 2)
        fail("usage: bench_scan_fit FOLDER");
    if (!b.p || !b.z || !b.relative)
        fail("out of memory");
    snprintf(b.text, sizeof b.text, "%s/scan_fit.csv", argv[1]);
    b.scan = (struct bt_scan){POINTS, b.p, b.z, 0.01};
    zone_shape_make(PANEL, NX, NY, b.p, b.z);
    write_points(&b);
    compare(&b);
    remove(b.text);
    free(b.p);
    free(b.z);
    free(b.relative);
    return EXIT_SUCCESS;
}
