/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "draw/bay.h"
#include "draw/full_size_page.h"
#include "draw/written.h"
#include "support/memory.h"

static void near(const char *what, double got, double want, double tol)
{
    cr_expect(fabs(got - want) <= tol, "%s: got %.9g, want %.9g", what, got, want);
}

static struct bt_full_size of_bay(const struct bay *bay, bool one, enum bt_paper paper)
{
    return (struct bt_full_size){
        .job = &bay->job, .piece = &bay->piece, .one = one, .paper = paper};
}

/* Width and height of the first page as the PDF says, points. */
static void media_box(const struct bt_figure_bytes *b, double *wide, double *high)
{
    static const char key[] = "/MediaBox [ 0 0 ";
    const size_t n = strlen(key);

    *wide = *high = NAN;
    for (size_t i = 0; i + n + 40 < b->length; i++)
        if (memcmp(b->bytes + i, key, n) == 0) {
            char *end;

            *wide = strtod((const char *)b->bytes + i + n, &end);
            *high = strtod(end, NULL);
            return;
        }
}

/* The points of the only path of a page in SVG, mm on paper: what it says there, in the
 * unit that its matrix makes points of 1/72 in. */
struct inked {
    size_t n;
    double x[512], y[512];
};

static void read_path(struct page *page, struct inked *out)
{
    struct bt_figure_bytes b = {0};
    const char *text, *at;
    double matrix;

    cr_assert_eq(page_finish(page, "path", &b, NULL), BT_OK);
    text = written_text(&b);
    at = strstr(text, " d=\"M ");
    cr_assert_not_null(at, "%s", text);
    cr_assert_not_null(strstr(at, "matrix("), "%s", at);
    matrix = strtod(strstr(at, "matrix(") + 7, NULL);
    cr_assert_not_null(strstr(at, ",0,0)"), "the path is moved: %s", at);
    for (out->n = 0, at += 4; *at == 'M' || *at == 'L'; out->n++) {
        char *end;

        cr_assert_lt(out->n, 512);
        out->x[out->n] = strtod(at + 2, &end) * matrix / 72 * 25.4;
        out->y[out->n] = strtod(end, &end) * matrix / 72 * 25.4;
        at = end + strspn(end, " ");
    }
    bt_figure_bytes_clear(&b);
    page_close(page);
}

static void begin_path(struct page *page)
{
    const struct page_size size = {210, 297};

    cr_assert_eq(page_open(page, BT_FIGURE_SVG, &size, false, "", "", NULL), BT_OK);
}

/* cairo keeps 1/256 of a point. */
#define CAIRO_STEP 0.003

Test(full_size, the_outline_is_as_large_on_paper_as_the_piece,
     .fini = bt_figure_teardown)
{
    struct bt_full_size input;
    const struct bt_point *p;
    struct inked ink;
    struct page page;
    struct full_size f;
    struct bay bay;

    bay_make(&bay, 1500, 500, 10, false);
    input = of_bay(&bay, true, BT_PAPER_A4);
    cr_assert_eq(full_size_prepare(&input, &f, NULL), BT_OK);
    begin_path(&page);
    full_size_outline(&f, page.cr, 0, 0);
    cairo_stroke(page.cr);
    read_path(&page, &ink);
    p = bay.piece.outline.p;
    cr_assert_geq(ink.n, 4);
    /* By hand: 1500 less a joint of 3 mm square to each leaning wall, 500 and 20. */
    near("back edge", ink.x[1] - ink.x[0], 1500 - 2 * 3 * hypot(500, 10) / 500, 0.01);
    near("depth", ink.y[2] - ink.y[1], 520, 0.01);
    for (int a = 0; a < 4; a++)
        for (int c = 0; c < a; c++)
            near("between corners", hypot(ink.x[a] - ink.x[c], ink.y[a] - ink.y[c]),
                 hypot(p[a].x - p[c].x, p[a].y - p[c].y), 2 * CAIRO_STEP);
    bay_clear(&bay);
}

/* Is there a mark of that place, down or up from the rule's line at y = 30? */
static bool marked(const struct inked *ink, double x, int side)
{
    for (size_t i = 0; i < ink->n; i++)
        if (fabs(ink->x[i] - x) <= CAIRO_STEP && side * (ink->y[i] - 30) > 1)
            return true;
    return false;
}

Test(full_size, the_rule_has_its_marks_at_millimetres_and_eighths_of_an_inch,
     .fini = bt_figure_teardown)
{
    struct inked ink;
    struct page page;

    begin_path(&page);
    full_size_rule(page.cr, 20, 30);
    read_path(&page, &ink);
    for (int mm = 0; mm <= 100; mm++)
        cr_expect(marked(&ink, 20 + mm, -1), "no mark at %d mm", mm);
    for (int eighth = 0; eighth <= 32; eighth++)
        cr_expect(marked(&ink, 20 + 3.175 * eighth, 1), "no mark at %d/8 in", eighth);
    cr_expect(!marked(&ink, 121, -1));
}

Test(full_size, one_sheet_is_as_large_as_the_piece_and_its_margins,
     .fini = bt_figure_teardown)
{
    struct bt_figure_bytes b = {0};
    struct bt_full_size input;
    double wide, high;
    size_t sheets = 0;
    struct bay bay;

    bay_make(&bay, 1500, 500, 10, false);
    input = of_bay(&bay, true, BT_PAPER_A4);
    cr_assert_eq(bt_full_size(&input, &sheets, &b, NULL), BT_OK);
    cr_expect_eq(sheets, 1);
    cr_expect_eq(written_pages(&b), 1);
    media_box(&b, &wide, &high);
    near("points wide", wide, (bay.piece.length + 8 + 20) * 72 / 25.4, 0.01);
    near("points high", high, (520 + 8 + 19 + 26) * 72 / 25.4, 0.01);
    bt_figure_bytes_clear(&b);
    bay_clear(&bay);
}

/* 1494 x 520 mm and a rim of 4 mm; A4 on its side shows 277 x 165 mm of it, 10 mm of
 * that again: 6 columns and 4 rows; upright 190 x 252: 9 and 3, which are more. */
Test(full_size, sheets_lie_as_it_takes_fewer_of_them, .fini = bt_figure_teardown)
{
    static const struct {
        enum bt_paper paper;
        double wide, high; /* points */
    } rows[] = {{BT_PAPER_A4, 841.89, 595.28}, {BT_PAPER_LETTER, 792, 612}};

    for (size_t i = 0; i < 2; i++) {
        struct bt_figure_bytes b = {0};
        struct bt_full_size input;
        double wide, high;
        size_t sheets = 0;
        struct bay bay;

        bay_make(&bay, 1500, 500, 0, false);
        input = of_bay(&bay, false, rows[i].paper);
        cr_assert_eq(bt_full_size(&input, &sheets, &b, NULL), BT_OK);
        cr_expect_eq(sheets, 24, "%zu", sheets);
        cr_expect_eq(written_pages(&b), sheets + 1);
        media_box(&b, &wide, &high);
        near("wide", wide, rows[i].wide, 0.01);
        near("high", high, rows[i].high, 0.01);
        bt_figure_bytes_clear(&b);
        bay_clear(&bay);
    }
}

Test(full_size, neighbours_show_ten_millimetres_of_the_same, .fini = bt_figure_teardown)
{
    const struct bt_point p = {300, 200};
    struct bt_full_size input;
    struct bt_point a, b, c;
    struct full_size f;
    struct bay bay;

    bay_make(&bay, 1500, 500, 10, false);
    input = of_bay(&bay, false, BT_PAPER_A4);
    cr_assert_eq(full_size_prepare(&input, &f, NULL), BT_OK);
    a = full_size_at(&f, 0, 0, p);
    b = full_size_at(&f, 0, 1, p);
    c = full_size_at(&f, 1, 0, p);
    near("along", a.x - b.x, f.wide - 10, 1e-9);
    near("not along", a.y - b.y, 0, 1e-9);
    near("down", a.y - c.y, f.deep - 10, 1e-9);
    /* The last sheets reach the end of the outline. */
    a = full_size_at(&f, f.rows - 1, f.columns - 1, f.high);
    cr_expect(a.x <= FULL_SIZE_LEFT + f.wide && a.y <= FULL_SIZE_TOP + f.deep);
    bay_clear(&bay);
}

static bool has(const struct page *page, const char *text)
{
    for (size_t i = 0; i < page->nwritten; i++)
        if (strcmp(page->words + page->written[i].text, text) == 0)
            return true;
    return false;
}

Test(full_size, no_text_or_mark_lies_over_another_on_any_sheet,
     .fini = bt_figure_teardown)
{
    struct bt_full_size input;
    struct full_size f;
    struct page page;
    struct bay bay;
    size_t crosses = 0;

    bay_make(&bay, 1500, 500, 10, true);
    input = of_bay(&bay, false, BT_PAPER_LETTER);
    input.doubtful = true;
    cr_assert_eq(full_size_prepare(&input, &f, NULL), BT_OK);
    for (size_t k = 0; k < f.rows * f.columns; k++) {
        cr_assert_eq(page_open(&page, BT_FIGURE_SVG, &f.paper, true, "", "", NULL),
                     BT_OK);
        full_size_sheet(&f, &page, k / f.columns, k % f.columns);
        cr_expect(has(&page, "The readings do not agree: do not cut to it yet."));
        cr_expect(has(&page, "100 mm"));
        for (size_t i = 0; i < page.nwritten; i++) {
            const struct box *a = &page.written[i].box;

            crosses += page.words[page.written[i].text] == '\0';
            cr_expect(a->x0 >= 5 && a->x1 <= f.paper.width - 5 && a->y0 >= 5 &&
                          a->y1 <= f.paper.height - 5,
                      "%zu: '%s' is off the page", k,
                      page.words + page.written[i].text);
            for (size_t j = 0; j < i; j++) {
                const struct box *b = &page.written[j].box;

                cr_expect(b->x0 >= a->x1 || a->x0 >= b->x1 || b->y0 >= a->y1 - 0.35 ||
                              a->y0 >= b->y1 - 0.35,
                          "%zu: '%s' lies over '%s'", k,
                          page.words + page.written[i].text,
                          page.words + page.written[j].text);
            }
        }
        page_close(&page);
    }
    /* Two at each seam, and each on both its sheets. */
    cr_expect_eq(crosses, 4 * (f.rows * (f.columns - 1) + f.columns * (f.rows - 1)),
                 "%zu", crosses);
    bay_clear(&bay);
}

Test(full_size, refuses_what_cannot_be_printed)
{
    struct bt_figure_bytes b = {0};
    struct bt_error err = {0};
    struct bt_full_size input;
    struct bay bay;

    bay_make(&bay, 5100, 500, 0, false);
    input = of_bay(&bay, true, BT_PAPER_A4);
    cr_expect_eq(bt_full_size(&input, NULL, &b, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "one sheet would be 5122 mm long, a PDF holds 5080 "
                                  "mm: join sheets of a4 or letter");
    bay_clear(&bay);

    bay_make(&bay, 9000, 2000, 0, false);
    input = of_bay(&bay, false, BT_PAPER_A4);
    cr_expect_eq(bt_full_size(&input, NULL, &b, &err), BT_EINPUT);
    cr_expect_str_eq(err.message,
                     "the outline takes 450 sheets, over 300: print it on one");
    bay.piece.outline.p[1].x = NAN;
    cr_expect_eq(bt_full_size(&input, NULL, &b, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "no outline to draw");
    cr_expect_null(b.bytes);
    bay_clear(&bay);
}

Test(full_size, fails_cleanly_at_every_allocation, .fini = bt_figure_teardown)
{
    enum bt_status status = BT_ENOMEM;
    struct bt_full_size input;
    struct bay bay;
    size_t k = 1;

    bay_make(&bay, 300, 200, 2, true);
    input = of_bay(&bay, false, BT_PAPER_A4);
    for (; status != BT_OK; k++) {
        struct bt_figure_bytes b = {0};
        struct bt_error err = {0};
        const size_t before = memory_live();

        cr_assert_lt(k, 2000, "never done");
        memory_fail_at(k);
        status = bt_full_size(&input, NULL, &b, &err);
        cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu gave %d", k,
                  (int)status);
        bt_figure_bytes_clear(&b);
        cr_assert_eq(memory_live(), before, "call %zu leaked", k);
    }
    cr_expect_gt(k, 10, "nothing was allocated");
    memory_fail_at(0);
    bay_clear(&bay);
}
