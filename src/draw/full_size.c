/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/full_size_page.h"

#include <math.h>

#include "benchtrue/base/print.h"

#define RIM 4.0   /* around the outline, so that its line is whole */
#define FOOT 26.0 /* below the window */

/* ---- how many sheets ---- */

static size_t count(double length, double window)
{
    const double n = ceil((length - FULL_SIZE_OVERLAP) / (window - FULL_SIZE_OVERLAP));

    return n > 1 ? (size_t)fmin(n, 1e6) : 1;
}

static void set_paper(struct full_size *f, struct page_size paper)
{
    f->paper = paper;
    f->wide = paper.width - 2 * FULL_SIZE_LEFT;
    f->deep = paper.height - FULL_SIZE_TOP - FOOT;
    f->columns = count(f->high.x - f->low.x, f->wide);
    f->rows = count(f->high.y - f->low.y, f->deep);
}

static enum bt_status set_one(struct full_size *f, struct bt_error *err)
{
    /* As wide as the rule and its words at least. */
    const double least = page_size_of(BT_PAPER_A4).width;
    const struct page_size paper = {
        fmax(least, f->high.x - f->low.x + 2 * FULL_SIZE_LEFT),
        f->high.y - f->low.y + FULL_SIZE_TOP + FOOT};
    const double most = fmax(paper.width, paper.height);
    char length[BT_PRINT_ROOM], limit[BT_PRINT_ROOM];

    if (!(most <= BT_SHEET_SIDE_MOST))
        return bt_error_set(
            err, BT_EINPUT, 0, 0,
            "one sheet would be %s long, a PDF holds %s: join sheets of a4 or letter",
            bt_print_length(length, most, 2, f->in->job->system, BT_LENGTH_RULE),
            bt_print_length(limit, BT_SHEET_SIDE_MOST, 0, f->in->job->system,
                            BT_LENGTH_RULE));
    f->paper = paper;
    f->wide = paper.width - 2 * FULL_SIZE_LEFT;
    f->deep = paper.height - FULL_SIZE_TOP - FOOT;
    f->rows = f->columns = 1;
    return BT_OK;
}

static enum bt_status set_sheets(struct full_size *f, struct bt_error *err)
{
    const struct page_size upright = page_size_of(f->in->paper);
    size_t n;

    set_paper(f, upright);
    n = f->rows * f->columns;
    set_paper(f, (struct page_size){upright.height, upright.width});
    if (n <= f->rows * f->columns)
        set_paper(f, upright);
    n = f->rows * f->columns;
    if (n > BT_SHEETS_MOST)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the outline takes %zu sheets, over %d: print it on one", n,
                            (int)BT_SHEETS_MOST);
    return BT_OK;
}

enum bt_status full_size_prepare(const struct bt_full_size *in, struct full_size *f,
                                 struct bt_error *err)
{
    const struct bt_outline *o = &in->piece->outline;
    bool finite = o->n >= 3;

    *f = (struct full_size){.in = in};
    for (size_t i = 0; i < o->n; i++)
        finite = finite && isfinite(o->p[i].x) && isfinite(o->p[i].y);
    if (!finite)
        return bt_error_set(err, BT_EINPUT, 0, 0, "no outline to draw");
    bt_outline_extent(o, &f->low, &f->high);
    f->low = (struct bt_point){f->low.x - RIM, f->low.y - RIM};
    f->high = (struct bt_point){f->high.x + RIM, f->high.y + RIM};
    return in->one ? set_one(f, err) : set_sheets(f, err);
}

/* ---- all pages ---- */

/* page.h has its 210 mm in the middle of the paper; here all of it is used. */
static void begin(const struct full_size *f, struct page *page)
{
    cairo_save(page->cr);
    cairo_translate(page->cr, -(f->paper.width - PAGE_WIDTH) / 2, 0);
}

static double draw(const void *figure, struct page *page)
{
    const struct full_size *f = figure;

    if (!f->in->one) {
        begin(f, page);
        full_size_overview(f, page);
        cairo_restore(page->cr);
        page_break(page);
    }
    for (size_t k = 0; k < f->rows * f->columns; k++) {
        if (k > 0)
            page_break(page);
        begin(f, page);
        full_size_sheet(f, page, k / f->columns, k % f->columns);
        cairo_restore(page->cr);
    }
    return f->paper.height;
}

enum bt_status bt_full_size(const struct bt_full_size *input, size_t *sheets,
                            struct bt_figure_bytes *out, struct bt_error *err)
{
    const struct bt_job *job = input->job;
    struct full_size f;
    enum bt_status status = full_size_prepare(input, &f, err);

    if (status == BT_OK)
        status = page_print_size(draw, &f, &f.paper,
                                 job->title && *job->title ? job->title : "Outline",
                                 job->date ? job->date : "", out, err);
    if (status == BT_OK && sheets)
        *sheets = f.rows * f.columns;
    return status;
}
