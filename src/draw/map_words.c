/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "draw/map_figure.h"
#include "draw/palette.h"
#include "draw/scale_bar.h"
#include "draw/words.h"

#define FULL (PAGE_WIDTH - 2 * PAGE_MARGIN)

static void add_u(struct draw_words *text, const struct map_figure *f)
{
    enum bt_system system = f->in->job->system;
    char low[BT_PRINT_ROOM], high[BT_PRINT_ROOM];

    if (isnan(f->u_low)) {
        draw_add(text, "u not known.");
        return;
    }
    bt_print_u_bare(low, f->u_low, system);
    bt_print_u_bare(high, f->u_high, system);
    draw_add(text, "u ");
    if (strcmp(low, high) != 0)
        draw_add(text, "%s to ", low);
    draw_add(text, "%s %s.", high, bt_length_unit_name(system, BT_LENGTH_FEELER));
}

static void add_range(struct draw_words *text, const struct map_figure *f)
{
    char range[BT_PRINT_ROOM];

    if (!f->nseen) {
        draw_add(text, "No height is seen.");
        return;
    }
    draw_add(text, "Heights over the mean plane; range %s, ",
             bt_print_length(range, f->high - f->low, f->u_high, f->in->job->system,
                             BT_LENGTH_FEELER));
    add_u(text, f);
}

void map_draw_head(const struct map_figure *f, struct page *page, double *y)
{
    struct page_text how = {.size = LETTER_TITLE, .weight = PAGE_BOLD, .width = FULL};
    struct draw_words set = {0}, range = {0};

    *y = page_write(page, &how, PAGE_MARGIN, *y, draw_title(f->in->job, f->in->set));
    how.size = LETTER;
    how.weight = PAGE_PLAIN;
    draw_add_set(&set, f->in->job, f->in->set);
    *y = page_write(page, &how, PAGE_MARGIN, *y + 0.8, set.text);
    add_range(&range, f);
    *y = page_write(page, &how, PAGE_MARGIN, *y + 0.8, range.text);
}

/* The panel's outline, its corners and which edge is which. */
void map_draw_border(const struct map_figure *f, struct page *page)
{
    static const char *const corner[] = {"A", "B", "C", "D"};
    struct bt_point a = map_at(f, (struct bt_point){f->panel.x0, f->panel.y0});
    struct bt_point c = map_at(f, (struct bt_point){f->panel.x1, f->panel.y1});
    struct page_text how = {
        .size = LETTER_TITLE, .weight = PAGE_BOLD, .anchor = PAGE_MIDDLE};

    cairo_set_line_width(page->cr, 0.5);
    cairo_rectangle(page->cr, a.x, a.y, c.x - a.x, c.y - a.y);
    cairo_stroke(page->cr);
    for (int k = 0; k < 4; k++)
        page_write(page, &how, k == 0 || k == 3 ? a.x - 4.2 : c.x + 4.2,
                   k < 2 ? a.y - 3.6 : c.y + 3.6, corner[k]);
    how.size = LETTER;
    how.weight = PAGE_PLAIN;
    page_write(page, &how, (a.x + c.x) / 2, a.y - 5, "back edge");
    page_write(page, &how, (a.x + c.x) / 2, c.y + 5, "front edge");
}

static void arrow_head(cairo_t *cr, double x, double y, double to)
{
    cairo_move_to(cr, x, y);
    cairo_line_to(cr, x + to * 3, y - 1.3);
    cairo_line_to(cr, x + to * 3, y + 1.3);
    cairo_close_path(cr);
    cairo_fill(cr);
}

static void draw_grain(struct page *page, double y)
{
    struct page_text how = {.size = LETTER, .anchor = PAGE_MIDDLE_RIGHT};
    double right = PAGE_WIDTH - PAGE_MARGIN - 1, left = right - 40;

    cairo_set_line_width(page->cr, 0.5);
    cairo_move_to(page->cr, left + 1, y);
    cairo_line_to(page->cr, right - 1, y);
    cairo_stroke(page->cr);
    arrow_head(page->cr, left, y, 1);
    arrow_head(page->cr, right, y, -1);
    page_write(page, &how, left - 2, y, "grain");
}

static void draw_key(const struct map_figure *f, struct page *page, double *y)
{
    const int count = f->levels.count;
    const double wide = fmin(17.5, FULL / count), high = 6;
    const double left = PAGE_MARGIN + (FULL - wide * count) / 2;
    struct page_text how = {.size = LETTER, .anchor = PAGE_TOP_MIDDLE};
    struct draw_words head = {0};

    draw_add(&head, "height over the mean plane, %s",
             bt_length_unit_name(f->in->job->system, BT_LENGTH_FEELER));
    *y = page_write(page, &how, PAGE_WIDTH / 2, *y, head.text) + 0.8;
    for (int i = 0; i <= count; i++) {
        struct draw_words level = {0};
        double rgb[3], x = left + wide * i, z = (f->levels.base + i) * f->levels.step;

        if (i < count) {
            palette_colour(count > 1 ? (double)i / (count - 1) : 0.5, rgb);
            cairo_set_source_rgb(page->cr, rgb[0], rgb[1], rgb[2]);
            cairo_rectangle(page->cr, x, *y, wide, high);
            cairo_fill(page->cr);
            cairo_set_source_rgb(page->cr, 0, 0, 0);
        }
        cairo_set_line_width(page->cr, f->levels.base + i == 0 ? 0.65 : 0.28);
        cairo_move_to(page->cr, x, *y);
        cairo_line_to(page->cr, x, *y + high + 1);
        cairo_stroke(page->cr);
        draw_add_height(&level, z, 0, f->in->job->system, true);
        page_write(page, &how, x, *y + high + 1, level.text);
    }
    cairo_set_line_width(page->cr, 0.28);
    cairo_rectangle(page->cr, left, *y, wide * count, high);
    cairo_stroke(page->cr);
    *y += high + 8.5;
}

static const double row = 7.4;

static void draw_spot_list(const struct map_figure *f, struct page *page, double *y)
{
    struct page_text how = {.size = LETTER, .weight = PAGE_BOLD};
    size_t rows = (f->npeak + 1) / 2;

    if (!f->npeak)
        return;
    *y = page_write(page, &how, PAGE_MARGIN, *y,
                    f->npeak > 1 ? "High spots, in the order to plane them"
                                 : "High spot, to plane first");
    how.weight = PAGE_PLAIN;
    how.anchor = PAGE_MIDDLE_LEFT;
    for (size_t i = 0; i < f->npeak; i++) {
        struct draw_words text = {0};
        struct bt_point at = {PAGE_MARGIN + 3.2 + (i < rows ? 0 : FULL / 2),
                              *y + row * ((double)(i % rows) + 0.6)};

        draw_add_height(&text, f->peak[i].z, f->u_high, f->in->job->system, false);
        draw_add(&text, " at ");
        draw_add_place(&text, &f->mesh.p[f->peak[i].corner], f->in->job->system);
        map_mark_spot(page, at, i + 1);
        page_write(page, &how, at.x + 5, at.y, text.text);
    }
    *y += row * (double)rows + 2.5;
}

static const char *const kind_one[BT_READ_KINDS] = {
    [BT_READ_HEIGHT] = "height over a reference",
    [BT_READ_GAP] = "gap under a straightedge",
    [BT_READ_BAR] = "reading of a dial on a bar",
    [BT_READ_SLOPE] = "slope",
    [BT_READ_WIND] = "reading of winding sticks",
    [BT_READ_SCAN] = "scanned height",
};
static const char *const kind_many[BT_READ_KINDS] = {
    [BT_READ_HEIGHT] = "heights over a reference",
    [BT_READ_GAP] = "gaps under a straightedge",
    [BT_READ_BAR] = "readings of a dial on a bar",
    [BT_READ_SLOPE] = "slopes",
    [BT_READ_WIND] = "readings of winding sticks",
    [BT_READ_SCAN] = "scanned heights",
};

/* Entries of the legend run in two columns. */
struct legend {
    struct page *page;
    double top;
    size_t count;
};

static struct bt_point entry(struct legend *l, const char *text)
{
    struct page_text how = {.size = LETTER, .anchor = PAGE_MIDDLE_LEFT};
    struct bt_point at = {PAGE_MARGIN + (l->count % 2 ? FULL / 2 : 0),
                          l->top + row * ((double)(l->count / 2) + 0.5)};

    page_write(l->page, &how, at.x + 13, at.y, text);
    l->count++;
    at.x += 5.5;
    return at;
}

static void reading_entry(struct legend *l, enum bt_reading_kind kind, size_t n)
{
    struct draw_words text = {0};
    struct bt_point at, left, right;

    draw_add_count(&text, n, kind_one[kind], kind_many[kind]);
    at = entry(l, text.text);
    left = (struct bt_point){at.x - 4.5, at.y};
    right = (struct bt_point){at.x + 4.5, at.y};
    if (kind == BT_READ_HEIGHT || kind == BT_READ_SCAN) {
        map_mark_reading(l->page, kind, at, 0);
        return;
    }
    map_line_reading(l->page, kind, left, right);
    map_mark_reading(l->page, kind, left, 0);
    map_mark_reading(l->page, kind, right, 0);
    if (kind == BT_READ_GAP || kind == BT_READ_BAR)
        map_mark_reading(l->page, kind, at, 0);
}

static void draw_legend(const struct map_figure *f, struct page *page, double *y)
{
    struct legend l = {page, *y, 0};
    const size_t *kinds = f->in->set->kinds;
    struct bt_point at;

    for (int k = 0; k < BT_READ_KINDS && f->each; k++)
        if (kinds[k])
            reading_entry(&l, (enum bt_reading_kind)k, kinds[k]);
    if (f->each && f->nseen < f->in->flatness->used->npoint)
        map_mark_unseen(page, entry(&l, "read, but its height is not seen"));
    if (f->in->job->njoint) {
        at = entry(&l, "glue joint");
        map_line_joint(page, (struct bt_point){at.x - 5, at.y},
                       (struct bt_point){at.x + 5, at.y});
    }
    if (f->in->zone && f->in->zone->ncontact) {
        at = entry(&l, "zone contacts: upper, lower plane");
        map_mark_contact(page, (struct bt_point){at.x - 2.5, at.y}, 1);
        map_mark_contact(page, (struct bt_point){at.x + 2.5, at.y}, -1);
    }
    *y += row * (double)((l.count + 1) / 2) + (l.count ? 2 : 0);
}

static void add_rule(struct draw_words *text, double mm, enum bt_system system)
{
    char length[BT_PRINT_ROOM];

    draw_add(text, "%s", bt_print_length(length, mm, mm / 20, system, BT_LENGTH_RULE));
}

static void add_between(struct draw_words *text, const struct map_figure *f)
{
    enum bt_system system = f->in->job->system;

    switch (f->mesh.kind) {
    case MESH_NONE:
        draw_add(text, "Nothing is drawn between places, because no three of them "
                       "have heights and span an area. ");
        return;
    case MESH_GRID:
        draw_add(text, "Between the places of the grid: bilinear. ");
        break;
    case MESH_AVERAGED:
        draw_add(text, "Heights averaged over squares of ");
        add_rule(text, f->mesh.cell, system);
        draw_add(text, ", between them ");
        break;
    case MESH_TRIANGLES:
        draw_add(text, "Between the places: ");
        break;
    }
    if (f->mesh.kind != MESH_GRID) {
        draw_add(text, "flat triangles (Delaunay), none with a side over ");
        add_rule(text, f->mesh.longest, system);
        draw_add(text, ". ");
    }
    draw_add(text, "Blank: not read%s. ",
             f->nseen < f->in->flatness->used->npoint ? ", or not seen" : "");
}

static void draw_caption(const struct map_figure *f, struct page *page, double *y)
{
    struct page_text how = {.size = LETTER, .width = FULL};
    struct draw_words text = {0};
    char least[BT_PRINT_ROOM];

    add_between(&text, f);
    if (!f->each) {
        draw_add_count(&text, f->in->flatness->used->npoint, "place", "places");
        draw_add(&text, " read, too many to mark. ");
    }
    if (f->in->flatness->nloose) {
        draw_add_count(&text, f->in->flatness->nloose, "reading hangs",
                       "readings hang");
        draw_add(&text, " loose from the rest, not drawn. ");
    }
    if (f->npeak) {
        draw_add(&text, "High spots stand out by more than %s. ",
                 bt_print_length(least, f->least, f->least / 10, f->in->job->system,
                                 BT_LENGTH_FEELER));
        draw_add(&text, "After planing, read again. ");
    }
    if (f->nseen)
        draw_add(&text, "u: standard uncertainty of a height.");
    *y = page_write(page, &how, PAGE_MARGIN, *y, text.text);
}

void map_draw_foot(const struct map_figure *f, struct page *page, double *y)
{
    scale_bar(page, PAGE_MARGIN + 1, *y, f->scale, f->in->job->system);
    draw_grain(page, *y);
    *y += 5;
    if (f->nseen)
        draw_key(f, page, y);
    draw_spot_list(f, page, y);
    draw_legend(f, page, y);
    draw_caption(f, page, y);
}
