/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

#include "draw/sheet_page.h"
#include "draw/written.h"

/* A sheet for the edges of a beech bench top (invented). */
enum { BOXES = 100 };

static struct bt_sheet_box box[BOXES];
static const char *const blank[] = {"date", "read by", "face up", "air, humidity %"};
static struct bt_sheet_block block[3];
static struct bt_sheet sheet[2];

static void set_up(void)
{
    for (int i = 0; i < BOXES; i++)
        box[i] = (struct bt_sheet_box){"x 900, y 300", "12"};
    block[0] = (struct bt_sheet_block){"1  back edge", "from A to B", 5, box};
    block[1] = (struct bt_sheet_block){"2  front edge", "", 7, box};
    block[2] = (struct bt_sheet_block){"3  all the rest", "", BOXES, box};
    sheet[0] = (struct bt_sheet){.title = "Readings",
                                 .intro = "Readings in mm.",
                                 .file = "One row a box.",
                                 .nblank = 4,
                                 .blank = blank,
                                 .nblock = 3,
                                 .block = block};
    sheet[1] = sheet[0];
    sheet[1].title = "The fence";
    sheet[1].nblock = 1;
}

TestSuite(sheet, .init = set_up, .fini = bt_figure_teardown);

/* How often a text stands on the page. */
static size_t count(const struct page *page, const char *text)
{
    size_t n = 0;

    for (size_t i = 0; i < page->nwritten; i++)
        n += strcmp(page->words + page->written[i].text, text) == 0;
    return n;
}

static void draw_on(struct page *page, size_t nblock)
{
    const struct page_size size = page_size_of(BT_PAPER_A4);
    const struct sheets sheets = {"Bench top", 1, sheet};

    sheet[0].nblock = nblock;
    cr_assert_eq(page_open(page, BT_FIGURE_SVG, &size, true, "", "", NULL), BT_OK);
    sheets_draw(&sheets, page);
    cr_assert_eq(page_status(page, NULL), BT_OK);
}

Test(sheet, writes_every_box_with_its_label_and_row)
{
    struct page page;

    draw_on(&page, 2);
    cr_expect_eq(count(&page, "Bench top"), 1);
    cr_expect_eq(count(&page, "Readings"), 1);
    cr_expect_eq(count(&page, "Readings in mm."), 1);
    cr_expect_eq(count(&page, "One row a box."), 1);
    for (size_t i = 0; i < sizeof blank / sizeof *blank; i++)
        cr_expect_eq(count(&page, blank[i]), 1, "%s", blank[i]);
    cr_expect_eq(count(&page, "1  back edge"), 1);
    cr_expect_eq(count(&page, "from A to B"), 1);
    cr_expect_eq(count(&page, "x 900, y 300"), 12);
    cr_expect_eq(count(&page, "12"), 12);
    page_close(&page);
}

Test(sheet, no_text_lies_over_another)
{
    const struct sheets sheets = {"Bench top", 1, sheet};

    written_expect_apart(sheets_draw, &sheets, 0);
}

Test(sheet, a_label_wider_than_its_box_is_cut)
{
    struct page page;

    box[0].label = "a place with a name that is a great deal longer than any box";
    draw_on(&page, 1);
    cr_expect_eq(count(&page, box[0].label), 0);
    cr_expect_eq(count(&page, "x 900, y 300"), 4);
    page_close(&page);
}

Test(sheet, goes_on_on_further_pages_and_each_sheet_begins_one)
{
    struct bt_figure_bytes pdf = {0};
    struct bt_error err = {0};

    for (int paper = BT_PAPER_A4; paper <= BT_PAPER_LETTER; paper++) {
        cr_assert_eq(bt_sheets_draw("Bench top", "2026-03-02", 2, sheet,
                                    (enum bt_paper)paper, &pdf, &err),
                     BT_OK, "%s", err.message);
        cr_expect_eq(written_pages(&pdf), 3, "%zu", written_pages(&pdf));
        bt_figure_bytes_clear(&pdf);
    }
}

Test(sheet, the_same_input_gives_the_same_bytes)
{
    struct bt_figure_bytes a = {0}, b = {0};

    cr_assert_eq(bt_sheets_draw("T", "", 1, sheet, BT_PAPER_A4, &a, NULL), BT_OK);
    cr_assert_eq(bt_sheets_draw("T", "", 1, sheet, BT_PAPER_A4, &b, NULL), BT_OK);
    cr_assert_eq(a.length, b.length);
    cr_expect_eq(memcmp(a.bytes, b.bytes, a.length), 0);
    bt_figure_bytes_clear(&a);
    bt_figure_bytes_clear(&b);
}

Test(sheet, refuses_nothing_to_draw_and_a_panel_without_size)
{
    const struct bt_job job = {.title = "", .date = ""};
    const struct bt_plan_request request = {.length = NAN, .width = 400};
    const struct bt_plan plan = {0};
    const struct bt_plan_figure_input figure = {&job, &request, &plan, NULL, NULL};
    struct bt_figure_bytes pdf = {0};
    struct bt_error err = {0};

    cr_expect_eq(bt_sheets_draw("T", "", 0, sheet, BT_PAPER_A4, &pdf, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "there is no sheet to draw");
    sheet[1].plan = &figure;
    cr_expect_eq(bt_sheets_draw("T", "", 2, sheet, BT_PAPER_A4, &pdf, &err), BT_EINPUT);
    cr_expect_str_eq(err.message,
                     "length and width of the panel are not over 0 and finite");
    cr_expect_eq(err.row, 1);
    cr_expect_null(pdf.bytes);
}
