/* SPDX-License-Identifier: GPL-3.0-or-later */

/* [stock] and stock.csv: what is read, and every fault. */
#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "jobdir.h"

static void load(struct jobdir *dir, const char *stock, const char *rows)
{
    char ini[512];

    snprintf(ini, sizeof ini,
             "[job]\nunits = mm\n[panel]\nlength = 1500\nwidth = 750\nthickness = 27\n"
             "[stock]\n%s",
             stock);
    jobdir_make(dir);
    jobdir_write(dir, "job.ini", ini);
    if (rows)
        jobdir_write(dir, "stock.csv", rows);
}

static void near(double got, double want)
{
    cr_expect(fabs(got - want) <= 1e-9 * fabs(want), "got %.12g, want %.12g", got,
              want);
}

Test(stock_file, takes_every_column_and_key)
{
    static const char text[] =
        "board,length_mm,width_in,thickness_mm,cup_mm,bow_mm,twist_mm,crook_mm,"
        "taper_mm,species,moisture_pct,nominal,cut_mm,pieces,rip_mm,u_mm,note\n"
        "back,2400,6,33.5,1.5,8,3,4,2,white oak,9.5,5/4,790,3,70,0.5,mine\n"
        "2,2400,6,33,,0,,,,,,,,,,,\n";
    struct jobdir dir;
    const struct bt_rough_board *b;

    load(&dir,
         "thickness = 28\nallowance = 0.4\njointer_width = 200\nplaner_width = 330\n"
         "jointer_least_length = 250\nplaner_least_length = 350\n"
         "planer_least_thickness = 5\n",
         text);
    jobdir_load_well(&dir);
    cr_assert_eq(dir.job.stock.n, 2);
    b = dir.job.stock.board;
    cr_expect_str_eq(b->name, "back");
    cr_expect_str_eq(b->species, "white oak");
    cr_expect_eq(b->line, 2);
    near(b->length, 2400);
    near(b->width, 6 * 25.4);
    near(b->size[BT_STOCK_THICKNESS], 33.5);
    near(b->size[BT_STOCK_CUP], 1.5);
    near(b->size[BT_STOCK_BOW], 8);
    near(b->size[BT_STOCK_TWIST], 3);
    near(b->size[BT_STOCK_CROOK], 4);
    near(b->size[BT_STOCK_TAPER], 2);
    near(b->moisture, 9.5);
    cr_expect_str_eq(b->nominal->name, "5/4");
    near(b->cut, 790);
    cr_expect_eq(b->pieces, 3u);
    near(b->rip, 70);
    for (int i = 0; i < BT_STOCK_READINGS; i++)
        near(b->u[i], 0.5);
    cr_expect(isnan(b[1].size[BT_STOCK_CUP]) && isnan(b[1].u[BT_STOCK_CUP]));
    cr_expect(isnan(b[1].cut) && isnan(b[1].rip) && isnan(b[1].moisture));
    cr_expect_eq(b[1].pieces, 1u);
    cr_expect_null(b[1].nominal);
    near(dir.job.stock.thickness, 28);
    near(dir.job.stock.allowance, 0.4);
    near(dir.job.stock.jointer_width, 200);
    near(dir.job.stock.planer_width, 330);
    near(dir.job.stock.jointer_least_length, 250);
    near(dir.job.stock.planer_least_length, 350);
    near(dir.job.stock.planer_least_thickness, 5);
    jobdir_remove(&dir);
}

/* Decimals share the finest digit of their column, a fraction has its own, and a bare 0
 * the others': over sqrt(12). */
Test(stock_file, u_is_from_the_last_digit_where_none_is_typed)
{
    struct jobdir dir;
    const struct bt_rough_board *b;

    load(&dir, "",
         "board,length_mm,width_mm,thickness_mm,cup_in,bow_mm\n"
         "a,2400,150,34,1/16,0\nb,2400,150,33.5,1/8,7\n");
    jobdir_load_well(&dir);
    b = dir.job.stock.board;
    near(b[0].u[BT_STOCK_THICKNESS], 0.1 / sqrt(12));
    near(b[1].u[BT_STOCK_THICKNESS], 0.1 / sqrt(12));
    near(b[0].u[BT_STOCK_CUP], 25.4 / 16 / sqrt(12));
    near(b[1].u[BT_STOCK_CUP], 25.4 / 8 / sqrt(12));
    near(b[0].u[BT_STOCK_BOW], 1 / sqrt(12));
    near(b[1].u[BT_STOCK_BOW], 1 / sqrt(12));
    cr_expect_eq(dir.job.stock.u_digit, 6u);
    cr_expect_not_null(
        note_with(dir.job.note, dir.job.nnote,
                  "uncertainty of the readings: finest digit typed (6)"));
    jobdir_remove(&dir);
}

Test(stock_file, states_nothing_where_it_is_missing)
{
    struct jobdir dir;

    load(&dir, "", NULL);
    jobdir_load_well(&dir);
    cr_expect_eq(dir.job.stock.n, 0u);
    cr_expect(isnan(dir.job.stock.thickness));
    cr_expect(dir.job.stock.allowance == 0);
    near(dir.job.stock.planer_least_length, 304.8);
    jobdir_remove(&dir);
}

Test(stock_file, forty_boards_are_read)
{
    static char text[4096];
    struct jobdir dir;
    size_t used =
        (size_t)snprintf(text, sizeof text, "board,length_mm,width_mm,thickness_mm\n");

    for (int i = 0; i < 40; i++)
        used +=
            (size_t)snprintf(text + used, sizeof text - used, "%d,2400,150,34\n", i);
    load(&dir, "", text);
    jobdir_load_well(&dir);
    cr_expect_eq(dir.job.stock.n, 40u);
    jobdir_remove(&dir);
}

static void expect(const char *keys, const char *rows, const char *file, size_t line,
                   size_t column, const char *message)
{
    struct jobdir dir;
    const struct bt_fault *fault;

    load(&dir, keys, rows);
    jobdir_load(&dir, NULL);
    cr_assert_eq(dir.faults.n, 1u, "%zu faults, not one: %s", dir.faults.n, message);
    fault = &dir.faults.item[0];
    cr_expect_str_eq(fault->message, message);
    cr_expect_str_eq(fault->file, file);
    cr_expect(fault->line == line && fault->column == column, "%zu:%zu: %s",
              fault->line, fault->column, message);
    jobdir_remove(&dir);
}

/* A row of these columns, with its one fault. */
static void expect_row(const char *row, size_t column, const char *message)
{
    char text[512];

    snprintf(text, sizeof text,
             "board,length_mm,width_mm,thickness_mm,cup_mm,bow_mm,twist_mm,taper_mm,"
             "species,moisture_pct,nominal,cut_mm,pieces,rip_mm,u_mm\n%s\n",
             row);
    expect("", text, "stock.csv", 2, column, message);
}

Test(stock_file, refuses_rows_that_no_board_has)
{
    static const struct {
        const char *row;
        size_t column;
        const char *message;
    } rows[] = {
        {",2400,150,34,,,,,,,,,,,", 1,
         "the board has no name: give it one, a number will do"},
        {"1,,150,34,,,,,,,,,,,", 3,
         "the length is missing: type what the rough board has"},
        {"1,2400,150,,,,,,,,,,,,", 12,
         "the thickness is missing: type what the rough board has"},
        {"1,2400,0,34,,,,,,,,,,,", 8,
         "width_mm must be more than 0, such as 40 mm or 1 1/2 in: '0'"},
        {"1,2400,150,340,,,,,,,,,,,", 12,
         "a thickness that is not believed: '340', at most 300 mm (12 in): is the unit "
         "right?"},
        {"1,2400,150,34,-2,,,,,,,,,,", 15,
         "a cup below 0: '-2', write how far it is out, whichever way"},
        {"1,2400,150,34,16,,,,,,,,,,", 15,
         "a cup that is not believed: '16', at most a tenth of the width: is the unit "
         "right?"},
        {"1,2400,150,34,,-1,,,,,,,,,", 16,
         "a bow below 0: '-1', write how far it is out, whichever way"},
        {"1,2400,150,34,,,241,,,,,,,,", 17,
         "a twist that is not believed: '241', at most a tenth of the length: is the "
         "unit right?"},
        {"1,2400,150,34,,,,35,,,,,,,", 18,
         "a taper that is not believed: '35', at most the thickness: is the unit "
         "right?"},
        {"1,2400,150,34,,,,,chery,,,,,,", 19,
         "no such species: 'chery', did you mean Cherry, black?"},
        {"1,2400,150,34,,,,,,80,,,,,", 20,
         "too wet to be surfaced: '80', a meter reads at most 30 %: was the humidity "
         "of "
         "the air typed?"},
        {"1,2400,150,34,,,,,,,9/4,,,,", 21,
         "unknown nominal size: '9/4', known are: 3/8, 1/2, 5/8, 3/4, 4/4, 5/4, 6/4, "
         "7/4, 8/4, 12/4, 14/4, 16/4"},
        {"1,2400,150,34,,,,,,,,2500,,,", 22,
         "a piece longer than the board: '2500', the board is 2400 mm long"},
        {"1,2400,150,34,,,,,,,,800,3,,", 26,
         "more pieces than the board has: '3', with their kerfs they take 2406 mm, the "
         "board is 2400 mm long"},
        {"1,2400,150,34,,,,,,,,,3,,", 23,
         "pieces without their length: '3', type it as cut, or leave out pieces"},
        {"1,2400,150,34,,,,,,,,500,1.5,,", 26,
         "not a number of pieces: '1.5', write a whole number from 1 to 1000"},
        {"1,2400,150,34,,,,,,,,,,151,", 24,
         "a strip wider than the board: '151', the board is 150 mm wide"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        expect_row(rows[i].row, rows[i].column, rows[i].message);
}

Test(stock_file, refuses_tables_that_are_none)
{
    expect("", "", "stock.csv", 1, 1,
           "nothing in it: no header, begin with a line that names the columns");
    expect("", "board,length_mm,width_mm\n1,2400,150\n", "stock.csv", 1, 1,
           "no column 'thickness': a table of rough stock has "
           "board,length,width,thickness");
    expect("", "board,length_mm,width_mm,thickness_mm\n1,9,9,9\n1,9,9,9\n", "stock.csv",
           3, 1, "a board twice: '1' is line 2 of this file already");
    expect("allowance = -1\n", NULL, "job.ini", 8, 13,
           "allowance must not be below 0: '-1'");
    expect("planer_with = 300\n", NULL, "job.ini", 8, 1,
           "unknown key in [stock]: 'planer_with', did you mean 'planer_width'?");
}
