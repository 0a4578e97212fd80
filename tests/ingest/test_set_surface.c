/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A surface that is known is read with every instrument at once, each with offsets,
 * tilts and zeros of its own; the adjustment of what was loaded must give the surface
 * back.  The readings are worked out here from what each instrument does, not from the
 * equations of the library.
 */
#include <criterion/criterion.h>

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/surface/flatness.h"
#include "jobdir.h"

enum { LENGTH = 1200, WIDTH = 600, ROOM = 6000 };

/* Bow, cup and twist with some unevenness that no form of six terms holds. */
static double surface(double x, double y)
{
    double u = 2 * x / LENGTH - 1, v = 2 * y / WIDTH - 1;

    return -0.8 * u * u + 0.5 * v * v + 0.3 * u * v + 0.1 * sin(5 * u + 3 * v);
}

static void add(char text[ROOM], const char *format, ...) BT_PRINTF(2, 3);

static void add(char text[ROOM], const char *format, ...)
{
    size_t used = strlen(text);
    va_list args;

    va_start(args, format);
    cr_assert(vsnprintf(text + used, ROOM - used, format, args) < (int)(ROOM - used));
    va_end(args);
}

/* Under an edge that is hollow by 0.05 mm and lies as it happens to. */
static void write_gaps(const struct jobdir *dir)
{
    static const double ends[4][4] = {
        {0, 0, 1200, 0}, {1200, 600, 0, 600}, {0, 0, 1200, 600}, {0, 600, 1200, 0}};
    static const char *const names[4] = {"back", "front", "ac", "db"};
    char text[ROOM] = "line,at,gap\n";

    for (int k = 0; k < 4; k++)
        for (int i = 0; i <= 4; i++) {
            double s = i / 4., x = ends[k][0] + s * (ends[k][2] - ends[k][0]);
            double y = ends[k][1] + s * (ends[k][3] - ends[k][1]);
            double at = s * hypot(ends[k][2] - ends[k][0], ends[k][3] - ends[k][1]);
            double edge = 3 + k + (0.2 - 0.3 * k) * s + 0.05 * 4 * s * (1 - s);
            add(text, "%s,%.10f,%.10f\n", names[k], at, edge - surface(x, y));
        }
    jobdir_write(dir, "gaps.csv", text);
    jobdir_write(dir, "lines.csv",
                 "line,from,to\nback,A,B\nfront,C,D\nac,A,C\ndb,D,B\n");
}

/* Two set-ups, the second on one line across. */
static void write_heights(const struct jobdir *dir)
{
    char text[ROOM] = "x,y,height,setup\n";

    for (int i = 0; i <= 4; i++)
        for (int j = 0; j <= 2; j++)
            add(text, "%d,%d,%.10f,%s\n", 300 * i, 300 * j,
                surface(300 * i, 300 * j) + 7 + 1e-3 * 300 * i - 2e-3 * 300 * j,
                "over the bench");
    for (int j = 0; j <= 4; j++)
        add(text, "600,%d,%.10f,%s\n", 150 * j,
            surface(600, 150 * j) - 4 + 5e-3 * 150 * j, "on the beam");
    jobdir_write(dir, "heights.csv", text);
}

static void write_others(const struct jobdir *dir)
{
    char bars[ROOM] = "foot1_x,foot1_y,dial_x,dial_y,foot2_x,foot2_y,rise\n";
    char slopes[ROOM] = "x1,y1,x2,y2,slope_mm_per_m\n";
    char sticks[ROOM] = "x1,x2,y1,y2,stick,wind\n";

    /* the dial stands a third of the way: the bar's line there is weighted 2 to 1 */
    for (int j = 0; j <= 2; j++)
        add(bars, "0,%d,300,%d,900,%d,%.10f\n", 300 * j, 300 * j, 300 * j,
            surface(300, 300 * j) -
                (2 * surface(0, 300 * j) + surface(900, 300 * j)) / 3 + 0.21);
    for (int j = 0; j <= 2; j++) {
        add(slopes, "0,%d,600,%d,%.10f\n", 300 * j, 300 * j,
            (surface(600, 300 * j) - surface(0, 300 * j)) / 0.6 - 0.4);
        add(slopes, "600,%d,0,%d,%.10f\n", 300 * j, 300 * j,
            (surface(0, 300 * j) - surface(600, 300 * j)) / 0.6 - 0.4);
    }
    /* each stick lies at a slope; their difference over the length of a stick */
    add(sticks, "0,1200,0,600,750,%.10f\n",
        ((surface(1200, 600) - surface(1200, 0)) / 600 -
         (surface(0, 600) - surface(0, 0)) / 600) *
            750);
    jobdir_write(dir, "bars.csv", bars);
    jobdir_write(dir, "slopes.csv", slopes);
    jobdir_write(dir, "sticks.csv", sticks);
}

static void write_job(const struct jobdir *dir, const char *files)
{
    char text[1000];

    snprintf(text, sizeof text,
             "[job]\nunits = mm\n[panel]\nlength = %d\nwidth = %d\n"
             "[instrument edge]\nkind = straightedge\nown_hollow = 0.05\nu = 0.02\n"
             "[instrument bar]\nkind = bar\nzero = unknown\nu = 0.02\n"
             "[instrument level]\nkind = level\nzero = unknown\nu = 0.05 mm/m\n"
             "[readings a]\nfiles = %s\n",
             LENGTH, WIDTH, files);
    jobdir_write(dir, "job.ini", text);
}

/* The u of sets that name no instrument is of their last digit: 1e-10 mm.  All are
 * given the instrument's by a column instead, so that the weights are of one size. */
static void add_column(const struct jobdir *dir, const char *name, const char *head,
                       const char *cell)
{
    static char text[2 * ROOM], wide[2 * ROOM];
    char path[200];
    size_t used = 0;
    FILE *file;
    bool first = true;

    snprintf(path, sizeof path, "%s/%s", dir->path, name);
    file = fopen(path, "r");
    cr_assert_not_null(file);
    while (fgets(text, sizeof text, file)) {
        text[strcspn(text, "\n")] = '\0';
        used += (size_t)snprintf(wide + used, sizeof wide - used, "%s,%s\n", text,
                                 first ? head : cell);
        first = false;
    }
    fclose(file);
    jobdir_write(dir, name, wide);
}

Test(set_surface, is_given_back_by_all_instruments_together)
{
    struct jobdir dir;
    struct bt_flatness f;
    const struct bt_network *net;
    const struct bt_readings *readings;

    jobdir_make(&dir);
    write_gaps(&dir);
    write_heights(&dir);
    write_others(&dir);
    add_column(&dir, "gaps.csv", "instrument", "edge");
    add_column(&dir, "heights.csv", "u", "0.02");
    add_column(&dir, "bars.csv", "instrument", "bar");
    add_column(&dir, "slopes.csv", "instrument", "level");
    add_column(&dir, "sticks.csv", "u", "0.2");
    write_job(&dir, "gaps.csv, heights.csv, bars.csv, slopes.csv, sticks.csv");
    jobdir_load_well(&dir);
    readings = &dir.job.set[0].readings;
    cr_assert_eq(readings->nobs, 20 + 20 + 3 + 6 + 1);
    cr_assert(readings->npoint <= 64);
    cr_assert_eq(bt_flatness_evaluate(readings, NULL, &f, NULL), BT_OK);
    net = f.net;
    cr_expect(net->dof > 10);
    /* typed to 1e-10 mm; weights of 1/u^2 and a few roundings */
    cr_expect(net->sigma0 <= 1e-6, "sigma0 %g", net->sigma0);
    /* Both differ by a plane only: second differences along a row agree. */
    for (size_t i = 0; i < readings->nobs; i++) {
        const struct bt_obs *obs = &readings->obs[i];
        double got = 0, want = 0;
        if (obs->kind != BT_READ_BAR)
            continue;
        for (int k = 0; k < obs->npoint; k++) {
            const struct bt_point *at = &readings->point[obs->point[k]];
            got += obs->coef[k] * f.z[obs->point[k]];
            want += obs->coef[k] * surface(at->x, at->y);
        }
        cr_expect(fabs(got - want) <= 1e-8, "%g for %g", got, want);
    }
    bt_flatness_clear(&f);
    jobdir_remove(&dir);
}
