/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes: sections and entries whose counts and places fit the text, no name
 * twice, or a fault with its place and message. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/ingest/file.h"
#include "benchtrue/ingest/ini.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must(int holds)
{
    if (!holds)
        abort();
}

/* The text and the walk through its lines. */
struct walk {
    const char *text;
    size_t length, at;
    struct bt_line line;
};

static void walk_to(struct walk *walk, size_t number)
{
    must(number > walk->line.number);
    while (walk->line.number < number)
        must(bt_text_line(walk->text, walk->length, &walk->at, &walk->line));
}

static void check_text(const struct bt_ini_text *text, const struct bt_line *line)
{
    size_t columns = bt_text_columns(line->text, line->length);

    must(strlen(text->text) == text->length);
    must(text->column >= 1);
    must(text->column + bt_text_columns(text->text, text->length) <= columns + 1);
    if (text->length) {
        must(strchr(" \t", text->text[0]) == NULL);
        must(strchr(" \t", text->text[text->length - 1]) == NULL);
    }
}

static void check_section(const struct bt_ini_section *section, struct walk *walk)
{
    walk_to(walk, section->line);
    must(section->kind.length >= 1);
    check_text(&section->kind, &walk->line);
    check_text(&section->name, &walk->line);
    for (size_t i = 0; i < section->nentry; i++) {
        const struct bt_ini_entry *entry = &section->entry[i];

        walk_to(walk, entry->line);
        must(entry->key.length >= 1);
        check_text(&entry->key, &walk->line);
        check_text(&entry->value, &walk->line);
        /* all pairs of a short section only: time must not grow with its square */
        for (size_t k = i; k-- > 0 && i - k < 64;)
            must(strcmp(section->entry[k].key.text, entry->key.text) != 0);
    }
}

static void check_faults(const struct bt_faults *faults, enum bt_status status)
{
    must(faults->n >= 1 && !faults->lost);
    must(faults->item[0].code == status && status == BT_EINPUT);
    for (size_t i = 0; i < faults->n; i++) {
        const struct bt_fault *fault = &faults->item[i];

        must(fault->line >= 1 && fault->column >= 1 && fault->message[0] != '\0');
        must(memchr(fault->message, '\0', sizeof fault->message) != NULL);
        for (const char *c = fault->message; *c; c++)
            must((unsigned char)*c >= ' ' && *c != 0x7F);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct bt_faults faults = {0};
    struct bt_ini ini;
    char *text = malloc(size ? size : 1);
    enum bt_status status;

    if (!text)
        return 0;
    /* no NUL behind the text: a reader that counts on one is found by ASan */
    if (size)
        memcpy(text, data, size);
    status = bt_ini_parse(text, size, "job.ini", &ini, &faults);
    if (status == BT_OK) {
        struct walk walk = {text, size, 0, {0, NULL, 0}};

        must(faults.n == 0);
        if (size >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0)
            walk.at = 3;
        for (size_t i = 0; i < ini.nsection; i++)
            check_section(&ini.section[i], &walk);
    } else {
        must(ini.nsection == 0 && ini.section == NULL);
        check_faults(&faults, status);
    }
    bt_ini_clear(&ini);
    bt_faults_clear(&faults);
    free(text);
    return 0;
}
