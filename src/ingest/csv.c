/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/ingest/csv.h"

#include <csv.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/text_reader.h"

/* What a table owns; its cells and their text lie here one after another. */
struct store {
    char *text;
    struct bt_cell *cell;
};

struct reader {
    struct bt_text_reader in;

    struct csv_parser parser;
    struct bt_table *table;
    struct store *store;
    size_t text_length, text_room;
    size_t ncell, cell_room, record_room;

    bool header;  /* has been met, if only a faulty one */
    size_t width; /* its cells; 0 where it was faulty */

    /* of the line being read */
    size_t first;      /* its first cell */
    size_t cell_start; /* byte where the cell being read begins */
    size_t counted;    /* bytes that `columns` covers */
    size_t columns;
    bool bad_quotes;
};

static bool is_blank(const struct reader *r, char c)
{
    return c == ' ' || (c == '\t' && r->table->separator != '\t');
}

/* The character of the line, from 1, at byte `at`; asked for with rising `at`, so
 * that a line is counted once. */
static size_t column_at(struct reader *r, size_t at)
{
    if (at < r->counted)
        return 1 + bt_text_columns(r->in.line.text, at);
    r->columns += bt_text_columns(r->in.line.text + r->counted, at - r->counted);
    r->counted = at;
    return r->columns + 1;
}

/* ---- quotes ------------------------------------------------------------------ */

static void quote_fault(struct reader *r, size_t at, size_t end, const char *format)
{
    char shown[BT_SHOWN_ROOM];

    r->bad_quotes = true;
    bt_fault_shown(r->in.line.text + at, end - at, shown);
    bt_text_fault(&r->in,
                  bt_fault_add(r->in.faults, BT_EINPUT, r->in.name, r->in.line.number,
                               column_at(r, at), format, shown));
}

/* libcsv accepts an open quote and text after a closing one.  The quoted cell
 * begins at byte `open` of the line and ends before byte `end`. */
static void check_quotes(struct reader *r, size_t open, size_t end)
{
    const char *text = r->in.line.text;
    size_t at = open + 1;

    while (at < end && (text[at] != '"' || (at + 1 < end && text[at + 1] == '"')))
        at += text[at] == '"' ? 2 : 1;
    if (at >= end) {
        quote_fault(r, open, end,
                    "quote not closed on its line: '%s', close it, or leave it out");
        return;
    }
    for (at++; at < end && is_blank(r, text[at]);)
        at++;
    if (at < end) {
        const char *stop = memchr(text + at, r->table->separator, end - at);

        quote_fault(r, at, stop ? (size_t)(stop - text) : end,
                    "text after a closing quote: '%s', double each quote that belongs "
                    "to the text of a quoted cell");
    }
}

/* ---- cells and records ------------------------------------------------------- */

/* Where the text of the cell begins, as a byte of the line.  A cell that turns out
 * empty begins right behind its separator, or behind its quote. */
static size_t text_start(struct reader *r, size_t end, bool *quoted)
{
    size_t at = r->cell_start;

    while (at < end && is_blank(r, r->in.line.text[at]))
        at++;
    *quoted = at < end && r->in.line.text[at] == '"';
    if (*quoted)
        return at + 1;
    return at < end ? at : r->cell_start;
}

static bool is_edge_blank(char c)
{
    return c == ' ' || c == '\t';
}

/* libcsv's call for each cell.  The text fits: a cell and its NUL are never longer
 * than what it was typed with and the separator or line end behind it. */
static void take_cell(void *content, size_t length, void *user)
{
    struct reader *r = user;
    const char *text = content;
    struct bt_cell *grown;
    char *to = r->store->text + r->text_length;
    size_t skip = 0;

    grown = bt_grow(r->store->cell, &r->cell_room, r->ncell + 1, sizeof *grown);
    if (grown)
        r->store->cell = grown;
    if (!grown || length >= r->text_room - r->text_length) {
        bt_text_no_memory(&r->in);
        return;
    }
    while (skip < length && is_edge_blank(text[skip]))
        skip++;
    while (length > skip && is_edge_blank(text[length - 1]))
        length--;
    length -= skip;
    if (length)
        memcpy(to, text + skip, length);
    to[length] = '\0';
    r->text_length += length + 1;
    /* the column is the caller's part: it knows where the cell began */
    grown[r->ncell++] = (struct bt_cell){to, length, length ? skip : 0};
}

/* Hand libcsv the line up to its next separator, or its end, and give the cell that
 * this ends its column.  A separator within quotes ends none. */
static void read_piece(struct reader *r, size_t at, size_t next, bool last)
{
    size_t before = r->ncell, end = last ? next : next - 1;
    bool quoted;

    if (csv_parse(&r->parser, r->in.line.text + at, next - at, take_cell, NULL, r) !=
        next - at)
        bt_text_no_memory(&r->in);
    if (last && csv_fini(&r->parser, take_cell, NULL, r) != 0)
        bt_text_no_memory(&r->in);
    if (r->in.status == BT_ENOMEM || r->ncell == before)
        return;
    at = text_start(r, end, &quoted);
    if (quoted && !r->bad_quotes)
        check_quotes(r, at - 1, end);
    r->store->cell[before].column = column_at(r, at + r->store->cell[before].column);
    r->cell_start = next;
}

static void read_cells(struct reader *r)
{
    const char *text = r->in.line.text;
    size_t at = 0, length = r->in.line.length;

    r->first = r->ncell;
    r->cell_start = r->counted = r->columns = 0;
    r->bad_quotes = false;
    while (r->in.status != BT_ENOMEM) {
        const char *stop =
            at < length ? memchr(text + at, r->table->separator, length - at) : NULL;
        size_t next = stop ? (size_t)(stop - text) + 1 : length;

        read_piece(r, at, next, !stop);
        if (!stop)
            return;
        at = next;
    }
}

/* The separator that cuts a row of one cell into as many as the header has, 0 none:
 * a table put together from two. */
static char other_separator(const struct reader *r)
{
    static const char separators[] = "\t;,";

    for (const char *s = separators; *s; s++) {
        size_t n = 1;

        for (size_t i = 0; i < r->in.line.length; i++)
            n += r->in.line.text[i] == *s;
        if (*s != r->table->separator && n >= r->width)
            return *s;
    }
    return 0;
}

static const char *separator_name(char separator)
{
    return separator == '\t' ? "a tab" : separator == ';' ? "';'" : "','";
}

static void too_few(struct reader *r, size_t n)
{
    char other = n == 1 ? other_separator(r) : 0;

    if (other) {
        bt_text_fault(
            &r->in,
            bt_fault_add(r->in.faults, BT_EINPUT, r->in.name, r->in.line.number, 1,
                         "two separators: the header has %s between its "
                         "cells and this row %s, use one in all rows",
                         separator_name(r->table->separator), separator_name(other)));
        return;
    }
    bt_text_fault(&r->in,
                  bt_fault_add(r->in.faults, BT_EINPUT, r->in.name, r->in.line.number,
                               column_at(r, r->in.line.length),
                               "too few cells: %zu where the header has %zu, type an "
                               "empty cell for what was not taken",
                               n, r->width));
}

static bool all_digits(const struct bt_cell *cell)
{
    for (size_t i = 0; i < cell->length; i++)
        if (!(cell->text[i] >= '0' && cell->text[i] <= '9'))
            return false;
    return cell->length > 0;
}

/* Of the cells of the line, the last two that look like a number cut at a decimal comma
 * (`0,030`): digits, and more of them that begin with 0 or follow a 0 alone.  NULL
 * where there are none. */
static const struct bt_cell *cut_number(const struct reader *r)
{
    const struct bt_cell *found = NULL;

    for (size_t i = r->first; r->table->separator == ',' && i + 1 < r->ncell; i++) {
        const struct bt_cell *whole = &r->store->cell[i], *rest = whole + 1;
        if (all_digits(whole) && all_digits(rest) &&
            ((rest->length > 1 && rest->text[0] == '0') ||
             (rest->length > 1 && strcmp(whole->text, "0") == 0)))
            found = whole;
    }
    return found;
}

static void cut_at_comma(struct reader *r, const struct bt_cell *cell)
{
    char whole[BT_SHOWN_ROOM], rest[BT_SHOWN_ROOM];

    bt_fault_shown(cell[0].text, cell[0].length, whole);
    bt_fault_shown(cell[1].text, cell[1].length, rest);
    bt_text_fault(&r->in,
                  bt_fault_add(r->in.faults, BT_EINPUT, r->in.name, r->in.line.number,
                               cell->column,
                               "too many cells: '%s,%s', a decimal comma? write %s.%s",
                               whole, rest, whole, rest));
}

static void too_many(struct reader *r)
{
    const struct bt_cell *cell = &r->store->cell[r->first + r->width];
    char shown[BT_SHOWN_ROOM];

    if (cut_number(r)) {
        cut_at_comma(r, cut_number(r));
        return;
    }
    while (cell->length == 0)
        cell++;
    bt_text_fault(&r->in,
                  bt_fault_add(r->in.faults, BT_EINPUT, r->in.name, r->in.line.number,
                               cell->column,
                               "too many cells: '%s' is beyond the %zu of the header, "
                               "put a cell that holds a separator in quotes",
                               bt_fault_shown(cell->text, cell->length, shown),
                               r->width));
}

static void keep_record(struct reader *r)
{
    struct bt_table *table = r->table;
    struct bt_record *grown;

    grown = bt_grow(table->record, &r->record_room, table->nrecord + 1, sizeof *grown);
    if (!grown) {
        bt_text_no_memory(&r->in);
        return;
    }
    table->record = grown;
    grown[table->nrecord++] = (struct bt_record){r->in.line.number, r->width, NULL};
    r->ncell = r->first + r->width;
}

/* Cells up to the last that is not empty. */
static size_t used_cells(const struct reader *r)
{
    size_t n = r->ncell - r->first;

    while (n > 0 && r->store->cell[r->first + n - 1].length == 0)
        n--;
    return n;
}

/* Decide about the cells just read; those of a refused row are given up. */
static void end_record(struct reader *r)
{
    size_t n = r->ncell - r->first, used = used_cells(r);

    if (!r->header && (used > 0 || r->bad_quotes)) {
        r->header = true;
        r->width = r->bad_quotes ? 0 : used;
    }
    if (!r->bad_quotes && used > 0 && r->width > 0) {
        if (used > r->width) {
            too_many(r);
        } else if (n < r->width) {
            too_few(r, n);
        } else {
            keep_record(r);
            return;
        }
    }
    r->ncell = r->first;
}

/* ---- lines ------------------------------------------------------------------- */

/* The separator of what may be the header.  Quotes are jumped over as libcsv will
 * read them: where they open a cell. */
static char find_separator(const struct bt_line *line)
{
    static const char separators[] = "\t;,";
    size_t count[sizeof separators - 1] = {0}, best = sizeof separators - 2;
    bool opens = true, inside = false;

    for (size_t i = 0; i < line->length; i++) {
        char c = line->text[i];
        const char *found = c ? strchr(separators, c) : NULL;

        if (c == '"' && (opens || inside))
            inside = !inside;
        else if (found && !inside)
            count[found - separators]++;
        opens = (found && !inside) || (opens && c == ' ');
    }
    for (size_t i = sizeof separators - 1; i-- > 0;)
        if (count[i] > 0 && count[i] >= count[best])
            best = i;
    return separators[best];
}

static void set_separator(struct reader *r, char separator)
{
    r->table->separator = separator;
    r->table->decimal_comma = separator == ';';
    csv_set_delim(&r->parser, (unsigned char)separator);
}

static bool is_skipped(const struct reader *r)
{
    const char *text = r->in.line.text;
    size_t at = 0, length = r->in.line.length;

    while (at < length && (r->header ? is_blank(r, text[at]) : is_edge_blank(text[at])))
        at++;
    return at == length || text[at] == '#';
}

static void read_lines(struct reader *r, const char *text, size_t length, size_t at)
{
    while (bt_text_next(&r->in, text, length, &at)) {
        if (is_skipped(r))
            continue;
        if (!r->header)
            set_separator(r, find_separator(&r->in.line));
        read_cells(r);
        if (r->in.status != BT_ENOMEM)
            end_record(r);
    }
    if (r->in.status == BT_OK && !r->header)
        bt_text_fault(&r->in,
                      bt_fault_add(r->in.faults, BT_EINPUT, r->in.name, 1, 1,
                                   "nothing in it: no header, begin with a line that "
                                   "names the columns"));
}

/* Cells moved while they grew; every record has `width` of them. */
static void point_records(struct reader *r)
{
    for (size_t i = 0; i < r->table->nrecord; i++)
        r->table->record[i].cell = r->store->cell + i * r->width;
}

static void read_checked(void *reader, const char *text, size_t length, size_t start)
{
    struct reader *r = reader;

    r->table->store = r->store = bt_alloc(1, sizeof *r->store);
    if (r->store)
        r->store->text = bt_mem_resize(NULL, r->text_room = length - start + 2);
    if (!r->store || !r->store->text) {
        bt_text_no_memory(&r->in);
        return;
    }
    csv_init(&r->parser, 0);
    csv_set_realloc_func(&r->parser, bt_mem_resize);
    csv_set_free_func(&r->parser, bt_free);
    csv_set_blk_size(&r->parser, 4096);
    set_separator(r, ',');
    read_lines(r, text, length, start);
    csv_free(&r->parser);
    point_records(r);
}

enum bt_status bt_table_parse(const char *text, size_t length, const char *name,
                              struct bt_table *table, struct bt_faults *faults)
{
    struct reader reader = {.in = {.name = name, .faults = faults}, .table = table};

    memset(table, 0, sizeof *table);
    if (bt_text_parse(&reader.in, text, length, read_checked, &reader) != BT_OK)
        bt_table_clear(table);
    return reader.in.status;
}

enum bt_status bt_table_read(const char *path, const char *name, struct bt_table *table,
                             struct bt_faults *faults)
{
    struct reader reader = {.in = {.name = name, .faults = faults}, .table = table};

    memset(table, 0, sizeof *table);
    if (bt_text_read(&reader.in, path, read_checked, &reader) != BT_OK)
        bt_table_clear(table);
    return reader.in.status;
}

void bt_table_clear(struct bt_table *table)
{
    struct store *store;

    if (!table)
        return;
    store = table->store;
    if (store) {
        bt_free(store->text);
        bt_free(store->cell);
    }
    bt_free(store);
    bt_free(table->record);
    memset(table, 0, sizeof *table);
}
