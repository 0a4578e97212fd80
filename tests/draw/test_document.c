/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

#include "benchtrue/draw/document.h"
#include "draw/document_table.h"
#include "draw/panel.h"
#include "draw/written.h"

static struct panel panel;
static const char *cell[3 * 200];
static struct bt_part part[4];
static struct bt_document document;

static double hollow(double x, double y)
{
    (void)x;
    return (y - 200) * (y - 200) / 40000;
}

static enum bt_status draw_map(const void *input, enum bt_figure_format format,
                               struct bt_figure_bytes *out, struct bt_error *err)
{
    return bt_figure_map(input, format, out, err);
}

static enum bt_status draw_nothing(const void *input, enum bt_figure_format format,
                                   struct bt_figure_bytes *out, struct bt_error *err)
{
    (void)input;
    (void)format;
    (void)out;
    return bt_error_set(err, BT_EINPUT, 7, 0, "nothing to draw");
}

static void set_up(void)
{
    panel_grid(&panel, 5, 5, hollow);
    for (size_t i = 0; i < sizeof cell / sizeof *cell; i++)
        cell[i] = "seven words that have to be broken somewhere in between";
    part[0] = (struct bt_part){.kind = BT_PART_HEADING, .level = 2, .text = "Form"};
    part[1] = (struct bt_part){.kind = BT_PART_VERDICT, .text = "Within."};
    part[2] =
        (struct bt_part){.kind = BT_PART_TABLE, .ncolumn = 3, .ncell = 9, .cell = cell};
    part[3] = (struct bt_part){.kind = BT_PART_FIGURE,
                               .text = "The map.",
                               .make = draw_map,
                               .input = &panel.input};
    document = (struct bt_document){.title = "Ash top",
                                    .subtitle = "For the reading room",
                                    .date = "2026-03-02",
                                    .foot = "benchtrue",
                                    .npart = 4,
                                    .part = part};
}

TestSuite(document, .init = set_up, .fini = bt_figure_teardown);

Test(document, figures_are_plates_behind_the_text)
{
    struct bt_figure_bytes pdf = {0};
    struct bt_error err = {0};

    cr_assert_eq(bt_document_pdf(&document, BT_PAPER_LETTER, &pdf, &err), BT_OK, "%s",
                 err.message);
    cr_expect_eq(written_pages(&pdf), 2);
    bt_figure_bytes_clear(&pdf);
    document.npart = 3;
    cr_assert_eq(bt_document_pdf(&document, BT_PAPER_A4, &pdf, &err), BT_OK);
    cr_expect_eq(written_pages(&pdf), 1);
    bt_figure_bytes_clear(&pdf);
}

Test(document, a_figure_that_cannot_be_drawn_is_told)
{
    struct bt_figure_bytes pdf = {0};
    struct bt_error err = {0};

    part[3].make = draw_nothing;
    cr_expect_eq(bt_document_pdf(&document, BT_PAPER_A4, &pdf, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "nothing to draw");
    cr_expect_null(pdf.bytes);
}

Test(document, the_same_input_gives_the_same_bytes)
{
    struct bt_figure_bytes a = {0}, b = {0};

    cr_assert_eq(bt_document_pdf(&document, BT_PAPER_A4, &a, NULL), BT_OK);
    cr_assert_eq(bt_document_pdf(&document, BT_PAPER_A4, &b, NULL), BT_OK);
    cr_assert_eq(a.length, b.length);
    cr_expect_eq(memcmp(a.bytes, b.bytes, a.length), 0);
    bt_figure_bytes_clear(&a);
    bt_figure_bytes_clear(&b);
}

/* ---- tables ---- */

static double draw_table(const void *table, struct page *page)
{
    return document_table(table, page, PAGE_MARGIN) + PAGE_MARGIN;
}

Test(document, cells_of_a_table_stay_apart_however_wide_they_are)
{
    written_expect_apart(draw_table, &part[2], 0);
    cell[1] = "1";
    cell[4] =
        "a_word_without_any_place_to_break_it_although_it_is_very_long_indeed_too";
    written_expect_apart(draw_table, &part[2], 1);
}

Test(document, a_long_table_names_its_columns_on_every_page)
{
    const struct page_size a4 = page_size_of(BT_PAPER_A4);
    struct page page;
    size_t heads = 0;

    cell[0] = "head";
    part[2].ncell = sizeof cell / sizeof *cell;
    cr_assert_eq(page_open(&page, BT_FIGURE_PDF, &a4, true, "", "", NULL), BT_OK);
    document_table(&part[2], &page, PAGE_MARGIN);
    cr_expect_geq(page.sheet, 3);
    for (size_t i = 0; i < page.nwritten; i++)
        heads += strcmp(page.words + page.written[i].text, "head") == 0;
    cr_expect_eq(heads, 1, "%zu on the last page", heads);
    page_close(&page);
}
