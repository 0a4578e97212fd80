/* SPDX-License-Identifier: GPL-3.0-or-later */

/* opening.csv and [opening]: what is read, and every fault with its place. */
#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "jobdir.h"

static const char header[] = "kind,where,at,reading,angle_deg,x,y,u_mm,u_deg\n";

static void near(double got, double want)
{
    cr_expect(fabs(got - want) <= 1e-9 * fmax(1, fabs(want)), "got %.12g, want %.12g",
              got, want);
}

static void write_job(struct jobdir *dir, const char *opening)
{
    char ini[512];

    snprintf(ini, sizeof ini, "[job]\nunits = mm\n[feelers]\ncard = 0.3\n[opening]\n%s",
             opening);
    jobdir_make(dir);
    jobdir_write(dir, "job.ini", ini);
}

Test(opening_file, takes_each_kind_of_reading)
{
    struct jobdir dir;
    const struct bt_opening_setup *o = &dir.job.opening;

    write_job(&dir,
              "front = wall\njoint = 3\nsealant = 25\nspacer = card\nenter = above\n"
              "headroom = 1/2 in\nscribe = 8\npage = letter\noverhang = 0\n");
    jobdir_write(&dir, "opening.csv",
                 "kind,where,at,reading,angle_deg,x,y,u_mm,u_deg,note\n"
                 "side,left,,600.5,,,,,,by tape\ndiagonal,BD,,1300,,,,0.5,,\n"
                 "width,,250,1199,,,,,,\ndepth,,40,500,,,,,,\nangle,C,,,90.5,,,,0.2,\n"
                 "offset,right,0,-2.0,,,,,,\npoint,front,,,,-12,3.5,,,\n"
                 "side,back,,,,,,,,not yet\n");
    jobdir_load_well(&dir);
    cr_expect_eq(o->nreading, 7);
    cr_expect_eq(o->blank, 1);
    cr_expect(o->reading[0].kind == BT_OPENING_SIDE &&
              o->reading[0].where == BT_WALL_LEFT);
    near(o->reading[0].value, 600.5);
    near(o->reading[0].u, 0.1 / sqrt(12));
    cr_expect_eq(o->reading[0].source, 2);
    cr_expect_eq(o->reading[1].where, 1);
    near(o->reading[1].u, 0.5);
    near(o->reading[2].at, 250);
    cr_expect_eq(o->reading[4].where, 2);
    near(o->reading[4].value, 90.5 * 3.14159265358979323846 / 180);
    near(o->reading[4].u, 0.2 * 3.14159265358979323846 / 180);
    near(o->reading[5].value, -2);
    near(o->reading[6].x, -12);
    near(o->reading[6].y, 3.5);
    cr_expect(o->plan.front_wall && o->plan.from_above);
    near(o->plan.joint, 3);
    near(o->plan.sealant, 25);
    near(o->plan.headroom, 12.7);
    cr_expect_eq(o->plan.spacer, 0);
    cr_expect_eq(o->plan.page, BT_PAGE_LETTER);
    cr_expect(isnan(o->plan.clearance));
    jobdir_remove(&dir);
}

Test(opening_file, states_nothing_where_it_is_missing)
{
    struct jobdir dir;

    write_job(&dir, "");
    jobdir_load_well(&dir);
    cr_expect_eq(dir.job.opening.nreading, 0);
    cr_expect_eq(dir.job.opening.plan.spacer, -1);
    cr_expect(isnan(dir.job.opening.plan.joint));
    jobdir_remove(&dir);
}

static void expect_one(struct jobdir *dir, const char *what, const char *file,
                       size_t line, size_t column, const char *message)
{
    jobdir_load(dir, NULL);
    cr_expect_eq(dir->status, BT_EINPUT, "%s", what);
    cr_assert_eq(dir->faults.n, 1, "%s: %zu faults, first %s", what, dir->faults.n,
                 dir->faults.n ? dir->faults.item[0].message : "");
    cr_expect_str_eq(dir->faults.item[0].file, file);
    cr_expect_eq(dir->faults.item[0].line, line, "%s", what);
    cr_expect_eq(dir->faults.item[0].column, column, "%s: column %zu", what,
                 dir->faults.item[0].column);
    cr_expect_str_eq(dir->faults.item[0].message, message, "%s:\n%s\nnot\n%s", what,
                     dir->faults.item[0].message, message);
    jobdir_remove(dir);
}

Test(opening_file, tells_each_fault_of_a_row_with_its_place)
{
    static const struct {
        const char *row;
        size_t column;
        const char *message;
    } rows[] = {
        {"side,left,,-5,,,,,", 12, "not a length: '-5', it must be above 0"},
        {"side,left,,0,,,,,", 12, "not a length: '0', it must be above 0"},
        {"side,left,,25 m,,,,,", 12,
         "a very large opening: '25 m', up to 20000 mm is believed: is the unit "
         "right?"},
        {"angle,A,,,200,,,,", 11,
         "not the inside angle of a corner: '200', 45 to 135 deg are believed: type "
         "the "
         "whole angle between the two walls"},
        {"side,top,,500,,,,,", 6,
         "unknown value of where: 'top', write one of back, right, front, left"},
        {"side,,,500,,,,,", 6, "where is missing: write back, right, front or left"},
        {"diagonal,,,500,,,,,", 10, "where is missing: write AC or BD"},
        {"angle,,,,90,,,,", 7, "where is missing: write A, B, C or D"},
        {"width,left,20,500,,,,,", 7,
         "where does not go with this kind: 'left', a width or depth has its place "
         "under "
         "at"},
        {"width,,,500,,,,,", 8,
         "at is missing: type how far from the back wall the width was taken"},
        {"depth,,,500,,,,,", 8,
         "at is missing: type how far from corner A, along the back wall, the depth "
         "was "
         "taken"},
        {"offset,left,,5,,,,,", 13,
         "at is missing: type how far along the wall from its first corner (back, "
         "front: "
         "the left; left, right: the back)"},
        {"offset,left,-1,5,,,,,", 13,
         "a place outside the opening: '-1', places count from the corner, which is 0"},
        {"offset,left,1,500,,,,,", 15,
         "a wall far from its batten: '500', up to 300 mm is believed: is the unit "
         "right?"},
        {"side,left,20,500,,,,,", 11,
         "at does not go with this kind: '20', it belongs to width, depth and offset"},
        {"side,left,,500,90,,,,", 16,
         "angle does not go with this kind: '90', side is typed under reading"},
        {"point,left,,,,5,,,", 17, "y is missing: a point of a template needs x and y"},
        {"angle,A,,,90,,,1,", 16,
         "an uncertainty of the wrong sort: '1', that of an angle is typed under "
         "u_deg"},
        {"side,left,,500,,,,,1", 20,
         "an uncertainty of the wrong sort: '1', that of a length is typed under u_mm "
         "or "
         "u_in"},
        {",left,,500,,,,,", 1,
         "kind is missing: write one of side, diagonal, width, depth, angle, offset, "
         "point"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct jobdir dir;
        char text[256];

        snprintf(text, sizeof text, "%s%s\n", header, rows[i].row);
        write_job(&dir, "");
        jobdir_write(&dir, "opening.csv", text);
        expect_one(&dir, rows[i].row, "opening.csv", 2, rows[i].column,
                   rows[i].message);
    }
}

Test(opening_file, needs_a_column_for_the_kind)
{
    struct jobdir dir;

    write_job(&dir, "");
    jobdir_write(&dir, "opening.csv", "where,reading\nback,500\n");
    expect_one(&dir, "no kind", "opening.csv", 1, 1,
               "no column 'kind': each row says side, diagonal, width, depth, angle, "
               "offset or point");
}

Test(opening_file, tells_each_fault_of_the_section_with_its_place)
{
    static const struct {
        const char *line;
        size_t column;
        const char *message;
    } rows[] = {
        {"joint = 400\n", 9,
         "more than is believed: '400', at most 300 mm; is the unit right?"},
        {"sealant = 150 %\n", 11,
         "no movement that a sealant takes: '150 %', above 0 to 100 % of the joint; "
         "classes are 7.5, 12.5, 20, 25, 35, 50, 100"},
        {"spacer = cards\n", 10,
         "no feeler of that name in [feelers]: 'cards', did you mean 'card'?"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct jobdir dir;

        write_job(&dir, rows[i].line);
        expect_one(&dir, rows[i].line, "job.ini", 6, rows[i].column, rows[i].message);
    }
}
