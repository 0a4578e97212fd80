/* SPDX-License-Identifier: GPL-3.0-or-later */

/* [layout] of job.ini and cutouts.csv: what is read, and every fault. */
#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>

#include "jobdir.h"

static void load(struct jobdir *dir, const char *layout, const char *cutouts)
{
    char ini[1024];

    snprintf(ini, sizeof ini,
             "[job]\nunits = mm\n[panel]\nlength = 900\nwidth = 400\n[layout]\n%s",
             layout);
    jobdir_make(dir);
    jobdir_write(dir, "job.ini", ini);
    if (cutouts)
        jobdir_write(dir, "cutouts.csv", cutouts);
}

static void near(double got, double want)
{
    cr_expect(fabs(got - want) <= 1e-9, "got %.12g, want %.12g", got, want);
}

Test(layout_files, takes_every_key)
{
    struct jobdir dir;
    const struct bt_layout_setup *l = &dir.job.layout;

    load(&dir,
         "width = 380\nlength = 880\norder = as listed\ntrim = equal\n"
         "narrowest = 1 in\ncentre = board\nrings = alternate\n"
         "clear = 100 mm +- 20 mm, 4 in \xc2\xb1 1/2 in,250+/-5\njointing = 1.5\n"
         "width_u = 0.3\nspare = 4\nends = 6\nturn = 1.5 deg\nbeside = 60\n"
         "clearance = 12\n",
         NULL);
    jobdir_load_well(&dir);
    near(l->width, 380);
    near(l->length, 880);
    cr_expect_eq(l->order, BT_ORDER_LISTED);
    cr_expect_eq(l->trim, BT_TRIM_EQUAL);
    near(l->narrowest, 25.4);
    cr_expect_eq(l->centre, BT_CENTRE_BOARD);
    cr_expect_eq(l->rings, BT_RINGS_ALTERNATE);
    cr_assert_eq(l->nclear, 3);
    near(l->clear[0].y, 100);
    near(l->clear[0].within, 20);
    near(l->clear[1].y, 101.6);
    near(l->clear[1].within, 12.7);
    near(l->clear[2].y, 250);
    near(l->jointing, 1.5);
    near(l->width_u, 0.3);
    near(l->spare, 4);
    near(l->ends, 6);
    near(l->turn, 1.5 * acos(-1) / 180);
    near(l->beside, 60);
    near(l->clearance, 12);
    jobdir_remove(&dir);
}

Test(layout_files, states_nothing_where_it_is_missing)
{
    struct jobdir dir;

    load(&dir, "", NULL);
    jobdir_load_well(&dir);
    cr_expect(isnan(dir.job.layout.width) && isnan(dir.job.layout.narrowest) &&
              isnan(dir.job.layout.turn));
    cr_expect_eq(dir.job.layout.order, BT_ORDER_FREE);
    cr_expect_eq(dir.job.layout.nclear + dir.job.layout.ncutout, 0);
    jobdir_remove(&dir);
}

Test(layout_files, takes_cutouts_of_each_shape)
{
    struct jobdir dir;
    const struct bt_cutout *c;

    load(&dir, "",
         "name,shape,x_mm,y_mm,length,width,diameter,radius,from,end\n"
         "port,circle,100,80,,,2 in,,front,right\n"
         "basin,rectangle,450,200,300,200,,40,,\n"
         "\n# a pipe\npipe,notch,450,395,60,30,,,,\n");
    jobdir_load_well(&dir);
    cr_assert_eq(dir.job.layout.ncutout, 3);
    c = dir.job.layout.cutout;
    cr_expect_str_eq(c[0].name, "port");
    cr_expect_eq(c[0].shape, BT_CUT_CIRCLE);
    near(c[0].length, 50.8);
    near(c[0].width, 50.8);
    cr_expect(c[0].from_front && c[0].from_right);
    near(c[1].radius, 40);
    near(c[1].width, 200);
    cr_expect_not(c[1].from_front || c[1].from_right);
    cr_expect_eq(c[2].line, 6);
    cr_expect(isnan(c[2].radius));
    jobdir_remove(&dir);
}

static void expect_one(struct jobdir *dir, const char *file, size_t line, size_t column,
                       const char *message)
{
    jobdir_load(dir, NULL);
    cr_expect_eq(dir->status, BT_EINPUT, "%s", message);
    cr_assert_eq(dir->faults.n, 1, "%s: %zu faults, first '%s'", message, dir->faults.n,
                 dir->faults.n ? dir->faults.item[0].message : "");
    cr_expect_str_eq(dir->faults.item[0].message, message);
    cr_expect_str_eq(dir->faults.item[0].file, file);
    cr_expect_eq(dir->faults.item[0].line, line, "%s: line %zu", message,
                 dir->faults.item[0].line);
    cr_expect_eq(dir->faults.item[0].column, column, "%s: column %zu", message,
                 dir->faults.item[0].column);
    jobdir_remove(dir);
}

Test(layout_files, tells_each_fault_of_the_section_with_its_place)
{
    static const struct {
        const char *layout, *message;
        size_t column;
    } rows[] = {
        {"clear = 100 mm, 200 mm +- 5 mm\n",
         "no distance: '100 mm', write within how far of it no joint may lie, as 300 "
         "mm "
         "+- 20 mm",
         9},
        {"clear = 100 mm +- 0\n",
         "clear must be more than 0, such as 1.5 mm or 1/16 in: '0'", 19},
        {"clear = 500 mm +- 20 mm\n",
         "outside the piece: 500 mm from the back edge, it is 400 mm wide", 9},
        {"turn = 20 deg\n", "turn must be 0 to 10 deg: '20 deg'", 8},
        {"trm = equal\n", "unknown key in [layout]: 'trm', did you mean 'trim'?", 1},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct jobdir dir;

        load(&dir, rows[i].layout, NULL);
        expect_one(&dir, "job.ini", 7, rows[i].column, rows[i].message);
    }
}

Test(layout_files, tells_more_places_than_there_can_be)
{
    char many[1024] = "clear = ";
    struct jobdir dir;
    size_t n = 8;

    for (int i = 0; i < 65; i++)
        n += (size_t)snprintf(many + n, sizeof many - n, "%s%d+-1", i ? "," : "",
                              100 + i);
    load(&dir, many, NULL);
    jobdir_load(&dir, NULL);
    cr_assert_eq(dir.faults.n, 1);
    cr_expect_str_eq(dir.faults.item[0].message,
                     "more than 64 places to keep clear: '164+-1'");
    jobdir_remove(&dir);
}

Test(layout_files, tells_each_fault_of_a_cut_out_with_its_place)
{
    static const char head[] = "name,shape,x,y,length,width,diameter,radius\n";
    static const struct {
        const char *row, *message;
        size_t column;
    } rows[] = {
        {"a,circle,100,100,,,,\n", "diameter is missing: a circle has nothing else",
         20},
        {"a,rectangle,100,100,50,,,\n",
         "width is missing: type how wide it is across the grain", 24},
        {"a,rectangle,100,100,,50,,\n",
         "length is missing: type how long it is along the grain", 21},
        {",circle,100,100,,,30,\n", "name is missing: what is cut out, in a word", 1},
        {"a,,100,100,50,40,,\n", "shape is missing: type rectangle, circle or notch",
         3},
        {"a,circle,,100,,,30,\n",
         "x is missing: type how far its middle is from the end", 10},
        {"a,circle,100,,,,30,\n",
         "y is missing: type how far its middle is from the edge", 14},
        {"a,circle,890,100,,,30,\n",
         "outside the piece: '890', it reaches from 875 mm to 905 mm, the piece from 0 "
         "to 900 mm",
         10},
        {"a,circle,100,10,,,30,\n",
         "outside the piece: '10', it reaches from -5 mm to 25 mm, the piece from 0 to "
         "400 mm",
         14},
        {"a,notch,100,450,50,40,,\n",
         "outside the piece: '450', it reaches from 430 mm to 470 mm, the piece from 0 "
         "to 400 mm",
         13},
        {"a,rectangle,100,100,50,40,,25\n",
         "the radius of the corners is over half the smaller side", 28},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char csv[256];
        struct jobdir dir;

        snprintf(csv, sizeof csv, "%s%s", head, rows[i].row);
        load(&dir, "", csv);
        expect_one(&dir, "cutouts.csv", 2, rows[i].column, rows[i].message);
    }
}

Test(layout_files, tells_a_column_that_is_missing)
{
    struct jobdir dir;

    load(&dir, "", "name,shape,x\na,circle,100\n");
    expect_one(&dir, "cutouts.csv", 1, 1,
               "no column 'y': a table of cut-outs has name,shape,x,y");
}
