/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/ingest/ini.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/text_reader.h"

/* What a parsed file owns; the entries of all sections lie one after another. */
struct store {
    char *text;
    struct bt_ini_entry *entry;
};

/* A name met before: a key of a section, or a section itself. */
struct named {
    const char *text; /* a key; of a section kind, NUL, name: so they lie in store */
    size_t length;
    size_t section; /* the key's, from 1; 0 for a section itself */
    size_t line;    /* 0: a free place */
};

struct reader {
    struct bt_text_reader in;

    struct bt_ini *ini;
    struct store *store;
    size_t text_length, section_room, nentry, entry_room;

    struct named *named; /* open hash table; named_room is a power of two */
    size_t nnamed, named_room;

    bool homeless; /* an entry before the first section has been reported */
};

static size_t column_of(const struct reader *r, size_t at)
{
    return 1 + bt_text_columns(r->in.line.text, at);
}

/* A fault at byte `at` of the line that shows the line from there to byte `end`. */
static void line_fault(struct reader *r, size_t at, size_t end, const char *format)
{
    char shown[BT_SHOWN_ROOM];

    bt_fault_shown(r->in.line.text + at, end - at, shown);
    bt_text_fault(&r->in,
                  bt_fault_add(r->in.faults, BT_EINPUT, r->in.name, r->in.line.number,
                               column_of(r, at), format, shown));
}

/* ---- names met before -------------------------------------------------------- */

/* FNV-1a (Fowler, Noll, Vo) over section and text; its 64-bit constants are from
 * memory: any large odd ones would do. */
static uint64_t hash_name(const struct named *name)
{
    uint64_t hash = 14695981039346656037u;

    hash = (hash ^ name->section) * 1099511628211u;
    for (size_t i = 0; i < name->length; i++)
        hash = (hash ^ (unsigned char)name->text[i]) * 1099511628211u;
    return hash;
}

/* Where the name stands, or the free place where it would. */
static struct named *find_place(struct named *table, size_t room,
                                const struct named *name)
{
    size_t at = (size_t)hash_name(name) & (room - 1);

    while (table[at].line != 0 &&
           (table[at].section != name->section || table[at].length != name->length ||
            memcmp(table[at].text, name->text, name->length) != 0))
        at = (at + 1) & (room - 1);
    return &table[at];
}

/* Keep the table at most half full. */
static bool make_places(struct reader *r)
{
    size_t room = r->named_room ? r->named_room * 2 : 64;
    struct named *table;

    if (2 * (r->nnamed + 1) <= r->named_room)
        return true;
    table = bt_alloc(room, sizeof *table);
    if (!table)
        return false;
    for (size_t i = 0; i < r->named_room; i++)
        if (r->named[i].line != 0)
            *find_place(table, room, &r->named[i]) = r->named[i];
    bt_free(r->named);
    r->named = table;
    r->named_room = room;
    return true;
}

/* The line that named the same before; 0 where none did, and it is remembered. */
static size_t named_before(struct reader *r, struct named name)
{
    struct named *place;

    if (!make_places(r)) {
        bt_text_no_memory(&r->in);
        return 0;
    }
    place = find_place(r->named, r->named_room, &name);
    if (place->line != 0)
        return place->line;
    *place = name;
    r->nnamed++;
    return 0;
}

/* A name from byte `at` of the line to byte `end` must be new; format takes the text
 * and the line where it stands already. */
static void expect_new(struct reader *r, struct named name, size_t at, size_t end,
                       const char *format)
{
    size_t earlier = named_before(r, name);
    char shown[BT_SHOWN_ROOM];

    if (earlier == 0)
        return;
    bt_fault_shown(r->in.line.text + at, end - at, shown);
    bt_text_fault(&r->in,
                  bt_fault_add(r->in.faults, BT_EINPUT, r->in.name, r->in.line.number,
                               column_of(r, at), format, shown, earlier));
}

/* ---- lines ------------------------------------------------------------------- */

static bool is_blank(char c)
{
    return c == ' ' || c == '\t';
}

static size_t skip_blanks(const char *text, size_t at, size_t end)
{
    while (at < end && is_blank(text[at]))
        at++;
    return at;
}

static size_t drop_blanks(const char *text, size_t at, size_t end)
{
    while (end > at && is_blank(text[end - 1]))
        end--;
    return end;
}

/* Keep bytes `at` to `end` of the line.  It fits: what is kept of a line, with a NUL
 * for each of its two parts, is never longer than the line and its end, since `=`,
 * `[`, `]` and the blank between kind and name are not kept. */
static struct bt_ini_text keep_text(struct reader *r, size_t at, size_t end)
{
    char *to = r->store->text + r->text_length;
    size_t length = end - at;

    memcpy(to, r->in.line.text + at, length);
    to[length] = '\0';
    r->text_length += length + 1;
    return (struct bt_ini_text){to, length, column_of(r, at)};
}

static struct bt_ini_section *add_section(struct reader *r)
{
    struct bt_ini *ini = r->ini;
    struct bt_ini_section *grown =
        bt_grow(ini->section, &r->section_room, ini->nsection + 1, sizeof *grown);

    if (!grown) {
        bt_text_no_memory(&r->in);
        return NULL;
    }
    ini->section = grown;
    grown += ini->nsection++;
    *grown = (struct bt_ini_section){.line = r->in.line.number};
    return grown;
}

/* The inside of a head, from the first character that is not blank to the last. */
static void read_names(struct reader *r, struct bt_ini_section *section, size_t at,
                       size_t end)
{
    const char *text = r->in.line.text;
    size_t stop = at;
    struct named name = {.line = r->in.line.number};

    while (stop < end && !is_blank(text[stop]))
        stop++;
    section->kind = keep_text(r, at, stop);
    section->name = keep_text(r, skip_blanks(text, stop, end), end);
    name.text = section->kind.text;
    name.length = section->kind.length + 1 + section->name.length;
    expect_new(r, name, at, end,
               "section repeated: '%s', it stands in line %zu already; join the "
               "two, or rename one");
}

/* A faulty head opens a section too: its entries must not count as the last one's. */
static void read_head(struct reader *r, size_t at, size_t end)
{
    const char *text = r->in.line.text;
    const char *close = memchr(text + at, ']', end - at);
    struct bt_ini_section *section = add_section(r);
    size_t first, last, after;

    if (!section)
        return;
    if (!close) {
        line_fault(r, at, end, "section head without a ']': '%s', close it");
        return;
    }
    after = skip_blanks(text, (size_t)(close - text) + 1, end);
    first = skip_blanks(text, at + 1, (size_t)(close - text));
    last = drop_blanks(text, first, (size_t)(close - text));
    if (after < end)
        line_fault(r, after, end,
                   "text after a section head: '%s', give it a line of its own");
    else if (first == last)
        line_fault(r, at, end, "empty section head: '%s', name the section");
    else
        read_names(r, section, first, last);
}

static void keep_entry(struct reader *r, size_t at, size_t equals, size_t end)
{
    const char *text = r->in.line.text;
    size_t key_end = drop_blanks(text, at, equals);
    size_t value = skip_blanks(text, equals + 1, end);
    struct named name = {.section = r->ini->nsection, .line = r->in.line.number};
    struct bt_ini_entry *grown;

    grown = bt_grow(r->store->entry, &r->entry_room, r->nentry + 1, sizeof *grown);
    if (!grown) {
        bt_text_no_memory(&r->in);
        return;
    }
    r->store->entry = grown;
    grown += r->nentry++;
    grown->line = r->in.line.number;
    grown->key = keep_text(r, at, key_end);
    grown->value =
        keep_text(r, value < end ? value : equals + 1, value < end ? end : equals + 1);
    r->ini->section[r->ini->nsection - 1].nentry++;
    name.text = grown->key.text;
    name.length = grown->key.length;
    expect_new(r, name, at, key_end,
               "key repeated: '%s', it stands in line %zu already; leave one of "
               "the two");
}

static void read_entry(struct reader *r, size_t at, size_t end)
{
    const char *text = r->in.line.text;
    const char *equals = memchr(text + at, '=', end - at);

    if (!equals) {
        line_fault(r, at, end,
                   "neither section, entry nor comment: '%s', write name = value");
    } else if (equals == text + at) {
        line_fault(r, at, end, "no name before the '=': '%s', write name = value");
    } else if (r->ini->nsection > 0) {
        keep_entry(r, at, (size_t)(equals - text), end);
    } else if (!r->homeless) {
        r->homeless = true;
        line_fault(r, at, end,
                   "entry before the first section: '%s', put a section head such as "
                   "[job] above it");
    }
}

static void read_lines(struct reader *r, const char *text, size_t length, size_t at)
{
    while (bt_text_next(&r->in, text, length, &at)) {
        size_t first = skip_blanks(r->in.line.text, 0, r->in.line.length);
        size_t end = drop_blanks(r->in.line.text, first, r->in.line.length);

        if (first == end || r->in.line.text[first] == '#' ||
            r->in.line.text[first] == ';')
            continue;
        if (r->in.line.text[first] == '[')
            read_head(r, first, end);
        else
            read_entry(r, first, end);
    }
}

/* Entries moved while they grew. */
static void point_sections(struct reader *r)
{
    struct bt_ini_entry *next = r->store->entry;

    for (size_t i = 0; i < r->ini->nsection; i++) {
        struct bt_ini_section *section = &r->ini->section[i];

        section->entry = section->nentry ? next : NULL;
        if (section->nentry)
            next += section->nentry;
    }
}

static void read_checked(void *reader, const char *text, size_t length, size_t start)
{
    struct reader *r = reader;

    r->ini->store = r->store = bt_alloc(1, sizeof *r->store);
    if (r->store)
        r->store->text = bt_mem_resize(NULL, length - start + 2);
    if (!r->store || !r->store->text) {
        bt_text_no_memory(&r->in);
        return;
    }
    read_lines(r, text, length, start);
    point_sections(r);
    bt_free(r->named);
}

enum bt_status bt_ini_parse(const char *text, size_t length, const char *name,
                            struct bt_ini *ini, struct bt_faults *faults)
{
    struct reader reader = {.in = {.name = name, .faults = faults}, .ini = ini};

    memset(ini, 0, sizeof *ini);
    if (bt_text_parse(&reader.in, text, length, read_checked, &reader) != BT_OK)
        bt_ini_clear(ini);
    return reader.in.status;
}

enum bt_status bt_ini_read(const char *path, const char *name, struct bt_ini *ini,
                           struct bt_faults *faults)
{
    struct reader reader = {.in = {.name = name, .faults = faults}, .ini = ini};

    memset(ini, 0, sizeof *ini);
    if (bt_text_read(&reader.in, path, read_checked, &reader) != BT_OK)
        bt_ini_clear(ini);
    return reader.in.status;
}

void bt_ini_clear(struct bt_ini *ini)
{
    struct store *store;

    if (!ini)
        return;
    store = ini->store;
    if (store) {
        bt_free(store->text);
        bt_free(store->entry);
    }
    bt_free(store);
    bt_free(ini->section);
    memset(ini, 0, sizeof *ini);
}
