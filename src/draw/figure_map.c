/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "draw/map_figure.h"
#include "draw/places.h"
#include "draw/words.h"

/* Room for the map on the page: the corners' letters stand beside it. */
#define MAP_WIDE (PAGE_WIDTH - 2 * PAGE_MARGIN - 15)
#define MAP_HIGH 140.0

/* More places than this are not marked one by one: they would cover the heights. */
enum { MARKED_MOST = 1500 };

static void find_frame(struct map_figure *f)
{
    const struct bt_panel *panel = &f->in->job->panel;
    const struct bt_readings *r = f->in->flatness->used;
    struct bt_rectangle box = {HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL};

    for (size_t i = 0; i < r->npoint; i++) {
        box.x0 = fmin(box.x0, r->point[i].x);
        box.y0 = fmin(box.y0, r->point[i].y);
        box.x1 = fmax(box.x1, r->point[i].x);
        box.y1 = fmax(box.y1, r->point[i].y);
    }
    f->panel = box;
    if (panel->length > 0) {
        f->panel.x0 = 0;
        f->panel.x1 = panel->length;
    }
    if (panel->width > 0) {
        f->panel.y0 = 0;
        f->panel.y1 = panel->width;
    }
    f->frame =
        (struct bt_rectangle){fmin(box.x0, f->panel.x0), fmin(box.y0, f->panel.y0),
                              fmax(box.x1, f->panel.x1), fmax(box.y1, f->panel.y1)};
}

static void fit_page(struct map_figure *f)
{
    double wide = f->frame.x1 - f->frame.x0, deep = f->frame.y1 - f->frame.y0;

    /* A single place or a line still has a size on paper. */
    f->scale = fmin(MAP_WIDE / fmax(wide, 1), MAP_HIGH / fmax(deep, 1));
    f->left = (PAGE_WIDTH - f->scale * wide) / 2;
}

static void find_heights(struct map_figure *f)
{
    const struct bt_flatness *flat = f->in->flatness;

    f->low = HUGE_VAL;
    f->high = -HUGE_VAL;
    f->u_low = f->u_high = NAN;
    for (size_t i = 0; i < f->in->flatness->used->npoint; i++) {
        if (!isfinite(flat->z[i]))
            continue;
        f->nseen++;
        f->low = fmin(f->low, flat->z[i]);
        f->high = fmax(f->high, flat->z[i]);
        if (flat->u) {
            f->u_low = fmin(f->u_low, flat->u[i]);
            f->u_high = fmax(f->u_high, flat->u[i]);
        }
    }
}

static enum bt_status find_contours(struct map_figure *f, struct bt_error *err)
{
    enum bt_status status = BT_OK;

    for (int i = 0; i < f->levels.count && status == BT_OK; i++) {
        double level = (f->levels.base + i) * f->levels.step;

        status = contour_region(&f->mesh, i ? level : -HUGE_VAL, &f->region[i], err);
        if (i && status == BT_OK)
            status = contour_lines(&f->mesh, level, &f->line[i], err);
    }
    return status;
}

enum bt_status map_prepare(const struct bt_figure_input *in, struct map_figure *f,
                           struct bt_error *err)
{
    const struct bt_readings *r = in->flatness->used;
    enum bt_status status = places_check(r, err);

    memset(f, 0, sizeof *f);
    if (status != BT_OK)
        return status;
    f->in = in;
    find_frame(f);
    fit_page(f);
    find_heights(f);
    f->each = r->npoint <= MARKED_MOST;
    bt_levels_choose(f->low, f->high, in->flatness->residual.range.u, in->job->system,
                     &f->levels);
    status =
        mesh_build(r->npoint, r->point, in->flatness->z,
                   &(struct mesh_options){
                       in->job->same_point > 0 ? in->job->same_point : 0, 1 / f->scale},
                   &f->mesh, err);
    if (status == BT_OK)
        status = find_contours(f, err);
    if (status == BT_OK && f->nseen) {
        f->least = fmax((f->high - f->low) / 10, isnan(f->u_high) ? 0 : 2 * f->u_high);
        status = peaks_find(&f->mesh, f->least, f->peak, &f->npeak, err);
    }
    return status;
}

void map_clear(struct map_figure *f)
{
    mesh_clear(&f->mesh);
    for (int i = 0; i < BT_LEVELS_MAX; i++) {
        contours_clear(&f->region[i]);
        contours_clear(&f->line[i]);
    }
}

double map_draw(struct map_figure *f, struct page *page)
{
    double y = PAGE_MARGIN;

    map_draw_head(f, page, &y);
    y += 9.5;
    f->top = y;
    map_reserve(f, page);
    map_draw_surface(f, page);
    map_draw_marks(f, page);
    map_draw_contours(f, page);
    map_draw_border(f, page);
    map_draw_spots(f, page);
    y += f->scale * (f->frame.y1 - f->frame.y0) + 13;
    map_draw_foot(f, page, &y);
    return y + PAGE_MARGIN;
}

static double draw_any(const void *figure, struct page *page)
{
    struct map_figure f = *(const struct map_figure *)figure;

    return map_draw(&f, page);
}

enum bt_status bt_figure_map(const struct bt_figure_input *input,
                             enum bt_figure_format format, struct bt_figure_bytes *out,
                             struct bt_error *err)
{
    struct map_figure f;
    enum bt_status status = map_prepare(input, &f, err);

    if (status == BT_OK)
        status = page_make(draw_any, &f, format, draw_title(input->job, input->set),
                           input->set->date, out, err);
    map_clear(&f);
    return status;
}
