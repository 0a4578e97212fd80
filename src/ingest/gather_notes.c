/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What `check` tells of the cells of a file, and which readings were not taken. */
#include <stdio.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/build.h"

enum bt_status bt_gather_note_odd(struct bt_gather *g, const struct bt_sheet *sheet,
                                  const struct bt_record *record, size_t index, int odd)
{
    const struct bt_cell *cell = &record->cell[index];

    if (!odd || ++g->odd > BT_NOTES_SHOWN)
        return BT_OK;
    return bt_sure_note_odd(&g->notes, sheet->name, record->line, cell->text,
                            cell->length, odd);
}

/* "4", "4, 7", "4, 7 and others".  Returns how many there are. */
static size_t say_lines(const struct bt_gather *g, bool metric, char *out, size_t room)
{
    enum { LINES = 8 };
    size_t n = 0, used = 0, last = 0;

    for (size_t i = g->file_start; i < g->ntyped; i++) {
        const struct bt_typed *typed = &g->typed[i];
        if (!(metric ? typed->metric : typed->inch) || typed->line == last)
            continue;
        last = typed->line;
        if (n++ < LINES)
            used += (size_t)snprintf(out + used, room - used, "%s%zu",
                                     n > 1 ? ", " : "", typed->line);
    }
    if (n > LINES)
        snprintf(out + used, room - used, " and others");
    return n;
}

static enum bt_status note_mixed_units(struct bt_gather *g,
                                       const struct bt_sheet *sheet)
{
    size_t metric = 0, inch = 0;
    size_t n, least;
    char lines[8 * 24];
    bool rare;

    for (size_t i = g->file_start; i < g->ntyped; i++) {
        metric += g->typed[i].metric;
        inch += g->typed[i].inch;
    }
    rare = metric <= inch;
    least = rare ? metric : inch;
    /* A few are a slip, many are the way the maker writes (the bounds are ours). */
    if (!least || least > 3 || least > (metric + inch) / 3)
        return BT_OK;
    n = say_lines(g, rare, lines, sizeof lines);
    return bt_note_add(&g->notes, sheet->name, 0,
                       "units are mixed: a reading in %s on line%s %s, the others in "
                       "%s; is that meant?",
                       rare ? "mm" : "inches", bt_say_plural(n), lines,
                       rare ? "inches" : "mm");
}

enum bt_status bt_gather_note_typing(struct bt_gather *g, const struct bt_sheet *sheet)
{
    if (g->odd > BT_NOTES_SHOWN &&
        bt_note_add(&g->notes, sheet->name, 0,
                    "%zu fractions in all that no rule in inches has", g->odd) != BT_OK)
        return BT_ENOMEM;
    return note_mixed_units(g, sheet);
}

enum bt_status bt_gather_blank(struct bt_gather *g, const struct bt_typed *of,
                               const struct bt_cell *name, const struct bt_point *at,
                               const char *words)
{
    struct bt_set *set = g->set;
    struct bt_blank *blank;

    set->blank++;
    if (set->nblanks == BT_BLANKS_KEPT || !*words)
        return BT_OK;
    if (!set->blanks)
        set->blanks = bt_alloc(BT_BLANKS_KEPT, sizeof *set->blanks);
    if (!g->blank)
        g->blank = bt_alloc(BT_BLANKS_KEPT, sizeof *g->blank);
    if (!set->blanks || !g->blank)
        return BT_ENOMEM;
    g->blank[set->nblanks] =
        (struct bt_gathered_blank){.owner = of->owner, .place = *at};
    blank = &set->blanks[set->nblanks++];
    blank->source = (struct bt_source){.file = g->file, .line = of->line};
    blank->kind = of->kind;
    blank->line = bt_copy_text(name ? name->text : "", name ? name->length : 0);
    blank->place = bt_copy_text(words, strlen(words));
    return blank->line && blank->place ? BT_OK : BT_ENOMEM;
}
