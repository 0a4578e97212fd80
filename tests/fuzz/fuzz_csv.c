/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes: a table whose counts and places fit the text, or a fault with its place
 * and message. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/ingest/csv.h"
#include "benchtrue/ingest/file.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must(int holds)
{
    if (!holds)
        abort();
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
        must(i == 0 || fault->line >= fault[-1].line);
    }
}

static void check_cell(const struct bt_cell *cell, const struct bt_line *line)
{
    must(strlen(cell->text) == cell->length);
    must(cell->length <= line->length);
    must(cell->column >= 1);
    must(cell->column <= bt_text_columns(line->text, line->length) + 1);
    must(bt_text_columns(cell->text, cell->length) + cell->column <=
         bt_text_columns(line->text, line->length) + 1);
}

static void check_table(const struct bt_table *table, const char *text, size_t length)
{
    struct bt_line line = {0, NULL, 0};
    size_t at = length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;

    must(table->nrecord >= 1 && table->record[0].n >= 1);
    must(strchr(",;\t", table->separator) != NULL);
    must(table->decimal_comma == (table->separator == ';'));
    for (size_t i = 0; i < table->nrecord; i++) {
        const struct bt_record *record = &table->record[i];

        must(record->n == table->record[0].n);
        must(record->line > line.number);
        while (line.number < record->line)
            must(bt_text_line(text, length, &at, &line));
        for (size_t k = 0; k < record->n; k++) {
            check_cell(&record->cell[k], &line);
            must(k == 0 || record->cell[k].column > record->cell[k - 1].column);
        }
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct bt_faults faults = {0};
    struct bt_table table;
    char *text = malloc(size ? size : 1);
    enum bt_status status;

    if (!text)
        return 0;
    /* no NUL behind the text: a reader that counts on one is found by ASan */
    if (size)
        memcpy(text, data, size);
    status = bt_table_parse(text, size, "fuzz.csv", &table, &faults);
    if (status == BT_OK) {
        must(faults.n == 0);
        check_table(&table, text, size);
    } else {
        must(table.nrecord == 0 && table.record == NULL);
        check_faults(&faults, status);
    }
    bt_table_clear(&table);
    bt_faults_clear(&faults);
    free(text);
    return 0;
}
