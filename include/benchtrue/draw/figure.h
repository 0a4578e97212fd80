/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_FIGURE_H
#define BENCHTRUE_DRAW_FIGURE_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/ingest/job.h"
#include "benchtrue/surface/flatness.h"
#include "benchtrue/surface/straightedge.h"
#include "benchtrue/surface/zone.h"

/* What a figure shows.  Nothing is owned; all of it must outlive the call. */
struct bt_figure_input {
    const struct bt_job *job;
    const struct bt_set *set;           /* name, date, face, kinds of reading */
    const struct bt_flatness *flatness; /* points and readings: flatness->used, which
                                           may be fewer than the set's; z, u:
                                           [used->npoint]; net is not looked at; u may
                                           be NULL */
    const struct bt_zone *zone;         /* its contacts are marked, indices of points;
                                           NULL: none */
    size_t nedge;                       /* straightedge figures */
    const struct bt_edge_result *edge;  /* [nedge] indices of points */
    double band; /* mm, width of the bands that the search took for lines
                    (struct bt_edge_search); NaN or 0: points within 1 mm */
};

enum bt_figure_format {
    BT_FIGURE_SVG,
    BT_FIGURE_PDF,
    BT_FIGURE_PNG,
    BT_FIGURE_PLATE /* a page of a document, out->onto: draw/document.h asks for it */
};

struct page; /* private to the room */

/* A finished file in memory; to be freed with bt_figure_bytes_clear. */
struct bt_figure_bytes {
    size_t length;
    unsigned char *bytes;
    struct page *onto; /* of BT_FIGURE_PLATE alone: the page that it is put behind; no
                          bytes are made */
};

/*
 * Which format the end of a file's name asks for: `.svg`, `.pdf` or `.png`, in small or
 * capital letters.  Returns BT_OK, or BT_EINPUT (another end, none; *format untouched).
 */
BT_API enum bt_status bt_figure_format_of(const char *path,
                                          enum bt_figure_format *format,
                                          struct bt_error *err);

/*
 * The map: the panel to scale as it was read, back edge on top, the grain running from
 * left to right; corners A to D; heights over their mean plane as bands of colour with
 * labelled lines at bt_levels_choose's levels; where readings were taken, line by line
 * and kind by kind; high spots numbered in the order to plane them; glue joints; the
 * zone's contacts; scale bar, colour key, and title block.  Lengths in job->system.
 *
 * - Between the readings: a grid (at least half of its cells have all corners read;
 *   places within job->same_point of a row and a column count for their node) is
 *   interpolated bilinearly, other places by flat triangles (Delaunay) without those
 *   with a side over six times the median side.  Over 20000 places are first averaged
 *   over squares of about 1.4 mm on paper.  The caption says which.  Nothing is drawn
 *   beyond the places read, nor in any cell or triangle with a corner that was not
 *   read or is NaN.
 * - High spots: places above the mean plane from which every way to a higher place
 *   first goes down by more than twice the largest u and more than a tenth of the
 *   range; highest first, nine at most.
 * - All heights NaN: positions alone, and the caption says so.
 *
 *   out  to be freed with bt_figure_bytes_clear; untouched on error
 *
 * Width 210 mm; PDF is one page of A4, SVG and PNG (7.5 pixels per mm) are as high as
 * what they show.  The same input gives the same bytes with the same libraries and
 * fonts: no time of day is written, the date of a PDF is the set's.  In SVG title
 * and description hold all the text, because letters are drawn as shapes.
 *
 * Returns BT_OK; BT_EINPUT (no point; a place that is not finite or over 1 km
 * away: row);
 * BT_ENOMEM; BT_EWRITE (cairo or qhull failed otherwise, with their words).  Memory
 * that cairo and qhull take themselves does not go through bt_mem_resize; they report
 * its lack, but Pango and GLib end the program in that case.
 */
BT_API enum bt_status bt_figure_map(const struct bt_figure_input *input,
                                    enum bt_figure_format format,
                                    struct bt_figure_bytes *out, struct bt_error *err);

/*
 * The profiles: the lines that a straightedge lay along, one under another, each with
 * the adjusted heights along it, the edge resting on them (their upper hull) and the
 * largest gap under it with its value, one scale of heights for all.  Heights are
 * taken from the straight line on which the edge rests over its largest gap; where
 * there is no gap, from the line along the ends, moved up to the highest place.
 *
 * Lines: every placement of a straightedge (readings of kind gap; where a height along
 * it is NaN, its own gaps show it all the same: they are offset and tilt away from the
 * heights); where there is none, rows and columns of a grid; then, of
 * input->edge, each figure's worst line with the edge of that span, points within
 * band/2 of it and not far beside the edge.  Lines of fewer than three points are left
 * out.  At most 16 lines are drawn, those with the largest gaps, in the order above;
 * the caption counts the rest.
 *
 * Format, out and errors as for bt_figure_map; BT_EINPUT also where there is no line of
 * three points.
 */
BT_API enum bt_status bt_figure_lines(const struct bt_figure_input *input,
                                      enum bt_figure_format format,
                                      struct bt_figure_bytes *out,
                                      struct bt_error *err);

/* Free what a figure holds and clear it; NULL is accepted. */
BT_API void bt_figure_bytes_clear(struct bt_figure_bytes *figure);

/*
 * Give back what cairo and Fontconfig keep for the next figure, so that a leak checker
 * stays silent.  For the very end of a program or test that drew figures and uses
 * neither library for anything else: it reaches into their process-wide state.
 */
BT_API void bt_figure_teardown(void);

#endif
