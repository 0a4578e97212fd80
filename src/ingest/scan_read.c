/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <fcntl.h>
#include <float.h>
#include <math.h>
#include <stdint.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/decimal.h"
#include "benchtrue/base/alloc.h"
#include "ingest/gather.h"
#include "ingest/header.h"

/*
 * Whatever is not plain makes this reader give up without a word, and the general one
 * reads the file from its beginning; so nothing here need tell a fault, and nothing may
 * be read in another way than there.
 */

enum { BLOCK = 1 << 17, LEAD_DIGITS = 19, POWER_MAX = 22 };

/* Axes, in the order in which rows are taken apart and kept. */
enum axis { AXIS_X, AXIS_Y, AXIS_Z, AXES };

struct scanner {
    struct bt_gather *g;
    int fd;
    double size, seen; /* bytes of the file, and those read so far */
    char *text;        /* [BLOCK + 1] */
    size_t n;          /* bytes held */
    bool ended;        /* the file is */

    char separator, point, other_blank; /* point: of a decimal beside `.` */
    enum axis axis[AXES];               /* of each cell */
    enum bt_unit unit[AXES];            /* of each axis */
    double low[AXES], high[AXES];       /* where the panel is, mm */
    size_t line;                        /* of the row being read */
    int frac_most;                      /* most digits after the point of a height, -1
                                           where none was read this way */
    double finest;                      /* step of heights read the long way, mm */
};

/* ---- bytes ---- */

/* Only a plain file can be read twice; its size, and its descriptor in s->fd. */
static bool open_plain(struct scanner *s, const char *path)
{
    struct stat about;

    if (stat(path, &about) != 0 || !S_ISREG(about.st_mode))
        return false;
    s->fd = open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY);
    if (s->fd < 0)
        return false;
    s->size = (double)about.st_size;
    return true;
}

/* Fill the block up.  False where reading fails. */
static bool fill(struct scanner *s)
{
    while (s->n < BLOCK && !s->ended) {
        ssize_t got = read(s->fd, s->text + s->n, BLOCK - s->n);
        if (got < 0)
            return false;
        s->ended = got == 0;
        s->n += (size_t)got;
        s->seen += (double)got;
    }
    return true;
}

/* ---- numbers ---- */

static bool is_blank(const struct scanner *s, char c)
{
    return c == ' ' || c == s->other_blank;
}

static const char *skip_blanks(const struct scanner *s, const char *at)
{
    while (is_blank(s, *at))
        at++;
    return at;
}

/* What a step becomes, as bt_quantity_parse has it. */
static double step_in_mm(double step, enum bt_unit unit)
{
    double mm = bt_unit_to_inside(step, unit) - bt_unit_to_inside(0, unit);

    return mm >= DBL_MIN ? mm : DBL_MIN;
}

static const char *digits(const char *at, uint64_t *lead)
{
    unsigned digit;

    while ((digit = (unsigned)(unsigned char)*at - '0') < 10) {
        *lead = *lead * 10 + digit;
        at++;
    }
    return at;
}

/* Many digits, or an exponent. */
static const char *long_number(struct scanner *s, const char *at, enum axis axis,
                               double *value)
{
    const size_t left = (size_t)(s->text + s->n - at);
    struct bt_decimal decimal;
    size_t used = bt_decimal_read(at, left, s->point == ',', &decimal);
    double step;

    if (used == 0 || decimal.range != BT_DECIMAL_FITS)
        return NULL;
    step = step_in_mm(decimal.step, s->unit[axis]);
    if (!(step <= DBL_MAX))
        return NULL;
    *value = decimal.value;
    if (axis == AXIS_Z && !decimal.whole)
        s->finest = fmin(s->finest, step);
    return at + used;
}

/*
 * An unsigned decimal.  Up to 2^53, digits and power of ten are exact doubles, and
 * their quotient is rounded once: the nearest double.
 */
static const char *plain_number(struct scanner *s, const char *at, enum axis axis,
                                double *value)
{
    static const double powers[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                    1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                    1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
    const char *from = at, *end;
    uint64_t lead = 0;
    size_t count;
    int frac = -1;

    end = digits(at, &lead);
    count = (size_t)(end - at);
    if (*end == '.' || *end == s->point) {
        at = end + 1;
        end = digits(at, &lead);
        frac = (int)(end - at);
        count += (size_t)frac;
    }
    if (count == 0)
        return NULL;
    if (count > LEAD_DIGITS || lead > UINT64_C(1) << DBL_MANT_DIG || *end == 'e' ||
        *end == 'E')
        return long_number(s, from, axis, value);
    *value = frac > 0 ? (double)lead / powers[frac] : (double)lead;
    if (axis == AXIS_Z && frac > s->frac_most)
        s->frac_most = frac;
    return end;
}

/* A cell: blanks, sign, number, blanks. */
static const char *read_cell(struct scanner *s, const char *at, enum axis axis,
                             double *mm)
{
    double value;
    bool minus;

    at = skip_blanks(s, at);
    minus = *at == '-';
    if (minus || *at == '+')
        at++;
    at = plain_number(s, at, axis, &value);
    if (!at)
        return NULL;
    if (minus)
        value = 0 - value; /* `-0` is no different from `0` */
    if (s->unit[axis] != BT_UNIT_MM)
        value = bt_unit_to_inside(value, s->unit[axis]);
    if (!(value >= s->low[axis] && value <= s->high[axis]))
        return NULL;
    *mm = value;
    return skip_blanks(s, at);
}

/* ---- lines ---- */

/* Behind the line end at `at`; NULL where there is none. */
static const char *line_end(const char *at)
{
    if (*at == '\r')
        at++;
    return *at == '\n' ? at + 1 : NULL;
}

/* Behind a comment, which must be text. */
static const char *skip_comment(const struct scanner *s, const char *at)
{
    const char *end = memchr(at, '\n', (size_t)(s->text + s->n - at));
    size_t bytes;

    while (at < end && *at != '\r') {
        bytes = *at ? bt_text_character(at, (size_t)(end - at)) : 0;
        if (bytes == 0)
            return NULL;
        at += bytes;
    }
    return line_end(at);
}

/* Behind a row, whose point is kept.  NULL: not plain, or no memory (*status). */
static const char *read_row(struct scanner *s, const char *at, enum bt_status *status)
{
    struct bt_gather *g = s->g;
    double mm[AXES];
    struct bt_point place;

    for (int cell = 0; cell < AXES; cell++) {
        at = read_cell(s, at, s->axis[cell], &mm[s->axis[cell]]);
        if (!at || (cell < AXES - 1 && *at++ != s->separator))
            return NULL;
    }
    at = line_end(at);
    if (!at)
        return NULL;
    if (g->load->options->nwithout && bt_gather_left_out(g, s->line)) {
        g->set->skipped++;
        return at;
    }
    place.x = mm[AXIS_X];
    place.y = mm[AXIS_Y];
    *status = bt_scan_add(&g->scan, &place, mm[AXIS_Z], g->file, s->line);
    return *status == BT_OK ? at : NULL;
}

/* Up to `end`, behind the last line end of the block.  False as read_row's NULL. */
static bool read_lines(struct scanner *s, const char *at, const char *end,
                       enum bt_status *status)
{
    for (; at < end; s->line++) {
        const char *first = skip_blanks(s, at);

        if (*first == '#')
            at = skip_comment(s, first);
        else if (*first == '\n' || *first == '\r')
            at = line_end(first);
        else
            at = read_row(s, first, status);
        if (!at)
            return false;
    }
    return true;
}

/* The last byte of the last line end in text[n], NULL where there is none. */
static char *last_line_end(char *text, size_t n)
{
    while (n > 0 && text[n - 1] != '\n')
        n--;
    return n ? text + n - 1 : NULL;
}

/* From the byte `at` of the first block to the end of the file. */
static bool read_rows(struct scanner *s, size_t at, enum bt_status *status)
{
    const struct bt_load_options *options = s->g->load->options;

    for (;;) {
        char *end;
        if (s->ended && s->n > at && s->text[s->n - 1] != '\n')
            s->text[s->n++] = '\n'; /* there is room for one more */
        end = last_line_end(s->text + at, s->n - at);
        if (!end)
            return s->ended && s->n == at;
        if (!read_lines(s, s->text + at, end + 1, status))
            return false;
        s->n = (size_t)(s->text + s->n - (end + 1));
        memmove(s->text, end + 1, s->n);
        at = 0;
        if (options->progress)
            options->progress(options->progress_user, s->g->set->file[s->g->file],
                              s->size > 0 ? fmin(1, s->seen / s->size) : 1);
        if (!fill(s))
            return false;
        if (s->ended && s->n == 0)
            return true;
    }
}

/* ---- header ---- */

/* The byte behind the line end of the header, 0 where it does not end in the block. */
static size_t find_header(struct scanner *s)
{
    struct bt_line line = {0, NULL, 0};
    size_t at = 0, mark;

    if (s->n >= 3 && memcmp(s->text, "\xEF\xBB\xBF", 3) == 0)
        at = 3;
    while (bt_text_line(s->text, s->n, &at, &line)) {
        for (mark = 0; mark < line.length; mark++)
            if (line.text[mark] != ' ' && line.text[mark] != '\t')
                break;
        if (mark == line.length || line.text[mark] == '#')
            continue;
        s->line = line.number + 1;
        return at < s->n ? at : 0;
    }
    return 0;
}

static void set_panel(struct scanner *s)
{
    const struct bt_panel *panel = &s->g->load->job->panel;

    for (int k = 0; k < AXES; k++) {
        s->low[k] = -DBL_MAX;
        s->high[k] = DBL_MAX;
    }
    /* as in bt_say_outside */
    if (!isnan(panel->length)) {
        s->low[AXIS_X] = -BT_EDGE_SLACK;
        s->high[AXIS_X] = panel->length + BT_EDGE_SLACK;
    }
    if (!isnan(panel->width)) {
        s->low[AXIS_Y] = -BT_EDGE_SLACK;
        s->high[AXIS_Y] = panel->width + BT_EDGE_SLACK;
    }
}

static bool take_columns(struct scanner *s, const struct bt_sheet *sheet)
{
    static const enum bt_role roles[AXES] = {BT_ROLE_X, BT_ROLE_Y, BT_ROLE_Z};
    const struct bt_table *table = sheet->table;
    struct bt_column column[BT_ROLES];
    const struct bt_form *form;

    if (bt_header_read(sheet, column, &form) != BT_OK || form->kind != BT_READ_SCAN ||
        table->record[0].n != AXES)
        return false;
    for (int k = 0; k < AXES; k++) {
        const struct bt_column *c = &column[roles[k]];
        if (!c->there || c->unit == BT_UNIT_NONE)
            return false;
        s->axis[c->index] = (enum axis)k;
        s->unit[k] = c->unit;
    }
    s->separator = table->separator;
    s->point = table->decimal_comma ? ',' : '.';
    s->other_blank = s->separator == '\t' ? ' ' : '\t';
    return true;
}

/* Read the header by the general readers; *at: the byte behind it, 0 where the file is
 * not plain. */
static enum bt_status read_header(struct scanner *s, const struct bt_sheet *sheet,
                                  size_t *at)
{
    struct bt_table table;
    struct bt_sheet own = {sheet->name, &table, sheet->unit, NULL};
    enum bt_status status;
    size_t end = find_header(s);

    *at = 0;
    if (end == 0)
        return BT_OK;
    status = bt_table_parse(s->text, end, sheet->name, &table, NULL);
    if (status == BT_OK && !bt_grid_is(&table) && take_columns(s, &own))
        *at = end;
    bt_table_clear(&table);
    return status == BT_ENOMEM ? status : BT_OK;
}

/* ---- file ---- */

/* Room for about as many points as there are: by the mean length of the lines in the
 * first block. */
static enum bt_status make_room(struct scanner *s, size_t at)
{
    size_t lines = 0;
    double points;

    for (size_t i = at; i < s->n; i++)
        lines += s->text[i] == '\n';
    points = (double)(lines + 1) / (double)(s->n - at) * s->size;
    if (!(points < (double)(SIZE_MAX / 64)))
        return BT_ENOMEM;
    return bt_scan_room(&s->g->scan, s->g->scan.n + (size_t)(1.02 * points) + 1);
}

/* Once every row was read: what the general reader would have told and found. */
static enum bt_status file_done(struct scanner *s, const struct bt_sheet *sheet,
                                size_t from)
{
    struct bt_gather *g = s->g;
    struct bt_typed typed = {.kind = BT_READ_SCAN};
    size_t origin[BT_U_ORIGINS] = {0};
    double finest = s->finest;

    if (s->frac_most >= 0)
        finest =
            fmin(finest, step_in_mm(bt_power_of_ten(-s->frac_most), s->unit[AXIS_Z]));
    if (!isfinite(finest)) /* whole numbers only */
        finest = step_in_mm(1, s->unit[AXIS_Z]);

    bt_gather_system(g, s->unit[AXIS_X]);
    if (bt_gather_instrument(g, BT_READ_SCAN) != BT_OK)
        return BT_ENOMEM;
    typed.instrument = g->instrument;
    bt_gather_u(g, &typed, NAN, NAN);
    if (typed.origin == BT_U_DIGIT)
        typed.u = finest / sqrt(12);
    origin[typed.origin] = g->scan.n - from;
    if (bt_scan_part_done(&g->scan, from, typed.u, typed.origin) != BT_OK)
        return BT_ENOMEM;
    return bt_sure_note(&g->notes, sheet->name, origin);
}

static enum bt_status read_open(struct scanner *s, const struct bt_sheet *sheet,
                                bool *done)
{
    struct bt_gather *g = s->g;
    const size_t from = g->scan.n, run = g->scan.nrun, skipped = g->set->skipped;
    enum bt_status status;
    size_t at;

    if (!fill(s))
        return BT_OK;
    status = read_header(s, sheet, &at);
    if (status != BT_OK || at == 0)
        return status;
    status = make_room(s, at);
    if (status != BT_OK)
        return status;
    set_panel(s);
    *done =
        read_rows(s, at, &status) && (g->scan.n > from || g->set->skipped > skipped);
    if (*done)
        return file_done(s, sheet, from);
    g->scan.n = from;
    g->scan.nrun = run;
    g->set->skipped = skipped;
    return status;
}

enum bt_status bt_scan_read(struct bt_gather *g, const char *path,
                            const struct bt_sheet *sheet, bool *done)
{
    struct scanner s = {.g = g, .fd = -1, .frac_most = -1, .finest = INFINITY};
    enum bt_status status = BT_ENOMEM;

    *done = false;
    if (!open_plain(&s, path))
        return BT_OK;
    s.text = bt_mem_resize(NULL, BLOCK + 1);
    if (s.text)
        status = read_open(&s, sheet, done);
    bt_free(s.text);
    close(s.fd);
    return status;
}
