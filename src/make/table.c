/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "make/table.h"

#include <csv.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char common[] = "common practice, no source";
static const char *const statuses[] = {
    "seen",        "seen (secondary quotation)", "recomputed", "derived here",
    "from memory", "from memory (uncertain)",    common};

enum { STATUSES = sizeof statuses / sizeof *statuses };

void table_fault(struct table *t, const char *what, const char *text)
{
    if (!t->failed)
        fprintf(stderr, "%s:%zu: %s: '%s'\n", t->path, t->row, what, text);
    t->failed = true;
}

size_t table_index(size_t n, const char *const names[], const char *text)
{
    size_t i = 0;

    while (i < n && strcmp(names[i], text) != 0)
        i++;
    return i;
}

bool table_decimal(const char *text, double *value)
{
    const char *digit = text[0] == '-' ? text + 1 : text;
    char *end;
    double read = strtod(text, &end);

    if (*digit < '0' || *digit > '9' || *end != '\0' || strpbrk(text, "xX") ||
        !isfinite(read))
        return false;
    *value = read;
    return true;
}

void table_check_source(struct table *t, const char *status, const char *source)
{
    bool is_common = strcmp(status, common) == 0;

    if (table_index(STATUSES, statuses, status) == STATUSES)
        table_fault(t, "unknown status", status);
    else if (is_common && *source)
        table_fault(t, "common practice has no source", source);
    else if (!is_common && !*source)
        table_fault(t, "the source is missing for status", status);
}

bool table_status_known(const char *status)
{
    for (size_t i = 0; i < STATUSES; i++) {
        size_t length = strlen(statuses[i]);
        const char *rest = status + length;
        if (strncmp(status, statuses[i], length) == 0 &&
            (*rest == '\0' || ((*rest == ';' || *rest == ',') && rest[1] == ' ')))
            return true;
    }
    return false;
}

static void take_cell(void *text, size_t length, void *data)
{
    struct table *t = data;
    size_t at = t->column++;

    if (at >= t->ncolumn)
        return; /* end_row says so */
    if (length >= TABLE_CELL || memchr(text ? text : "", '\0', length)) {
        table_fault(t, "the cell is too long or holds a NUL", t->names[at]);
        length = 0;
    }
    if (length)
        memcpy(t->cell[at], text, length);
    t->cell[at][length] = '\0';
    for (const char *c = t->cell[at]; *c; c++)
        if (*c < ' ' || *c > '~')
            table_fault(t, "only printable ASCII can be used here", t->cell[at]);
}

static void check_header(struct table *t)
{
    char what[TABLE_COLUMNS * 40] = "the header must be ";
    size_t used = strlen(what);

    for (size_t i = 0; i < t->ncolumn && used < sizeof what; i++)
        used += (size_t)snprintf(what + used, sizeof what - used, "%s%s", i ? "," : "",
                                 t->names[i]);
    for (size_t i = 0; i < t->ncolumn; i++)
        if (strcmp(t->cell[i], t->names[i]) != 0)
            table_fault(t, what, t->cell[i]);
    t->has_header = true;
}

static void end_row(int separator, void *data)
{
    struct table *t = data;
    char what[60];

    (void)separator;
    snprintf(what, sizeof what, "a row has %zu cells", t->ncolumn);
    if (t->column != t->ncolumn)
        table_fault(t, what, t->column ? t->cell[0] : "");
    else if (!t->has_header)
        check_header(t);
    else
        t->take(t, t->data);
    t->column = 0;
}

/* Byte by byte, so that the line of each row is known. */
static void parse(struct table *t, FILE *in)
{
    struct csv_parser parser;
    int c;

    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI) != 0) {
        table_fault(t, "no parser", "");
        return;
    }
    while (!t->failed && (c = getc(in)) != EOF) {
        char byte = (char)c;
        if (csv_parse(&parser, &byte, 1, take_cell, end_row, t) != 1)
            table_fault(t, "the CSV is not well formed",
                        csv_strerror(csv_error(&parser)));
        if (c == '\n')
            t->line++;
        if (t->column == 0)
            t->row = t->line;
    }
    if (ferror(in))
        table_fault(t, "cannot be read", "");
    if (!t->failed && csv_fini(&parser, take_cell, end_row, t) != 0)
        table_fault(t, "the CSV is not well formed", csv_strerror(csv_error(&parser)));
    csv_free(&parser);
}

bool table_read(struct table *t)
{
    FILE *in = fopen(t->path, "rb");

    if (!in) {
        fprintf(stderr, "%s: cannot be opened\n", t->path);
        t->failed = true;
        return false;
    }
    t->line = t->row = 1;
    t->column = 0;
    t->has_header = t->failed = false;
    parse(t, in);
    fclose(in);
    return !t->failed;
}

bool table_read_as(struct table *t, const char *path, size_t ncolumn,
                   const char *const names[], table_row *take, void *data)
{
    t->path = path;
    t->ncolumn = ncolumn;
    t->names = names;
    t->take = take;
    t->data = data;
    return table_read(t);
}

void table_put_text(FILE *out, const char *text)
{
    putc('"', out);
    for (; *text; text++) {
        if (*text == '"' || *text == '\\' || *text == '?')
            putc('\\', out);
        putc(*text, out);
    }
    putc('"', out);
}

void table_put_number(FILE *out, double value)
{
    if (isnan(value))
        fputs("NAN", out);
    else
        fprintf(out, "%.17g", value);
}

static bool write_beside(const char *beside, void (*put)(FILE *out, const void *data),
                         const void *data)
{
    FILE *out = fopen(beside, "w");
    bool written;

    if (!out)
        return false;
    put(out, data);
    written = !ferror(out);
    return fclose(out) == 0 && written;
}

bool table_write(const char *path, void (*put)(FILE *out, const void *data),
                 const void *data)
{
    static const char suffix[] = ".part";
    char *beside = malloc(strlen(path) + sizeof suffix);
    bool written = false;

    if (beside) {
        strcpy(beside, path);
        strcat(beside, suffix);
        written = write_beside(beside, put, data) && rename(beside, path) == 0;
        if (!written)
            remove(beside);
    }
    free(beside);
    if (!written)
        fprintf(stderr, "%s: cannot be written\n", path);
    return written;
}

int table_tool_run(const struct table_tool *tool, int argc, char **argv)
{
    void *maker;
    bool made;

    if (argc != tool->ntable + 2) {
        fprintf(stderr, "usage: %s %s OUT.inc\n", tool->name, tool->tables);
        return 2;
    }
    maker = calloc(1, tool->size);
    if (!maker) {
        fprintf(stderr, "%s: out of memory\n", tool->name);
        return 1;
    }
    made = tool->make(maker, argv);
    free(maker);
    return made ? 0 : 1;
}
