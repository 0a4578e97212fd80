/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/ingest/csv.h"
#include "support/memory.h"

static enum bt_status parse(const char *text, struct bt_table *table,
                            struct bt_faults *faults)
{
    return bt_table_parse(text, strlen(text), "gaps.csv", table, faults);
}

/* The cells of a table on one line: `a|b` for a record, ` / ` between records. */
static const char *flat(const struct bt_table *table, char out[1000])
{
    size_t n = 0;

    out[0] = '\0';
    for (size_t i = 0; i < table->nrecord; i++)
        for (size_t k = 0; k < table->record[i].n; k++)
            n += (size_t)snprintf(out + n, 1000 - n, "%s%s",
                                  k   ? "|"
                                  : i ? " / "
                                      : "",
                                  table->record[i].cell[k].text);
    return out;
}

static void expect_cells(const char *text, const char *want)
{
    struct bt_faults faults = {0};
    struct bt_table table;
    char got[1000];

    cr_expect_eq(parse(text, &table, &faults), BT_OK, "%s: %s", text,
                 faults.n ? faults.item[0].message : "");
    cr_expect_str_eq(flat(&table, got), want);
    bt_table_clear(&table);
    bt_faults_clear(&faults);
}

Test(csv, gives_each_cell_its_text_line_and_column)
{
    static const char text[] = "line, at,gap_thou\n"
                               "# as typed at the bench\n"
                               "\n"
                               "AB , \" 1,5\",\n"
                               "\xC3\xA4\xC2\xBD,17\xC2\xBD in,  2 \n";
    static const size_t columns[3][3] = {{1, 7, 10}, {1, 8, 13}, {1, 4, 13}};
    static const size_t lines[] = {1, 4, 5};
    struct bt_table table;
    char got[1000];

    cr_assert_eq(parse(text, &table, NULL), BT_OK);
    cr_expect_str_eq(flat(&table, got), "line|at|gap_thou / AB|1,5| / "
                                        "\xC3\xA4\xC2\xBD|17\xC2\xBD in|2");
    cr_assert_eq(table.nrecord, 3);
    for (size_t i = 0; i < 3; i++) {
        cr_expect_eq(table.record[i].line, lines[i]);
        cr_assert_eq(table.record[i].n, 3);
        for (size_t k = 0; k < 3; k++) {
            const struct bt_cell *cell = &table.record[i].cell[k];

            cr_expect_eq(cell->column, columns[i][k], "cell %zu of record %zu: %zu", k,
                         i, cell->column);
            cr_expect_eq(cell->length, strlen(cell->text));
        }
    }
    cr_expect_eq(table.separator, ',');
    cr_expect_not(table.decimal_comma);
    bt_table_clear(&table);
    cr_expect_null(table.record);
    bt_table_clear(NULL);
}

Test(csv, reads_inch_marks_that_are_not_quoted)
{
    expect_cells("at,gap\n17 7/8\",2' 6 1/2\"\n3\"\",\"\"\"\"\n",
                 "at|gap / 17 7/8\"|2' 6 1/2\" / 3\"\"|\"");
    expect_cells("at,gap\n 17\" , 2\" x\n", "at|gap / 17\"|2\" x");
}

Test(csv, undoes_the_quotes_of_a_cell_that_begins_with_one)
{
    expect_cells("at,note\n\"17 7/8\"\"\",\"a, \"\"b\"\"\"\n",
                 "at|note / 17 7/8\"|a, \"b\"");
    expect_cells("a,b\n  \" x \"  ,\"\"\n", "a|b / x|");
    expect_cells("a,b\n1,\"#\"\n", "a|b / 1|#");
    expect_cells("a,b\n\"# no comment\",2\n", "a|b / # no comment|2");
}

Test(csv, finds_the_separator_from_the_header)
{
    static const struct {
        const char *text;
        char separator;
        const char *want;
    } rows[] = {
        {"a\n1\n", ',', "a / 1"},
        {"a;b\n1,5;2\n", ';', "a|b / 1,5|2"},
        {"a\tb\n1\t\n\t2\n", '\t', "a|b / 1| / |2"},
        {"a,b;c,d\n1,2,3\n", ',', "a|b;c|d / 1|2|3"},
        {"\"x,y,z\";b\n1;2\n", ';', "x,y,z|b / 1|2"},
        {"6\",\"b;\"\";c\",d\n1,2,3\n", ',', "6\"|b;\";c|d / 1|2|3"},
        {"height_mm;0,5;1,5\n0;1;2\n", ';', "height_mm|0,5|1,5 / 0|1|2"},
        {"height_mm\t0,5\n0\t1\n", '\t', "height_mm|0,5 / 0|1"},
        {"#;;;\n,,,\na;b\n1;2\n", ';', "a|b / 1|2"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bt_table table;
        char got[1000];

        cr_expect_eq(parse(rows[i].text, &table, NULL), BT_OK, "row %zu", i);
        cr_expect_eq(table.separator, rows[i].separator, "row %zu", i);
        cr_expect_eq(table.decimal_comma, rows[i].separator == ';', "row %zu", i);
        cr_expect_str_eq(flat(&table, got), rows[i].want, "row %zu: %s", i, got);
        bt_table_clear(&table);
    }
}

Test(csv, drops_empty_cells_that_spreadsheets_add)
{
    expect_cells("a,b,,\n1,2,,,,\n3,4\n,,,\n,5, ,\"\"\n", "a|b / 1|2 / 3|4 / |5");
}

Test(csv, reads_a_file_with_only_a_header)
{
    struct bt_faults faults = {0};
    struct bt_table table;

    cr_expect_eq(parse("x,y,z", &table, &faults), BT_OK);
    cr_expect_eq(table.nrecord, 1);
    cr_expect_eq(faults.n, 0);
    bt_table_clear(&table);
}

Test(csv, skips_comments_and_blank_lines_anywhere_but_counts_them)
{
    static const char plain[] = "a,b\n1,2\n3,4\n";
    static const char with[] = "# one\n \t# two, \"\n\na,b\n#\n1,2\n  \t \n,\n3,4\n\n#";
    struct bt_table one, two;
    char got[1000], want[1000];

    cr_assert_eq(parse(plain, &one, NULL), BT_OK);
    cr_assert_eq(parse(with, &two, NULL), BT_OK);
    cr_expect_str_eq(flat(&two, got), flat(&one, want));
    cr_expect_eq(two.record[0].line, 4);
    cr_expect_eq(two.record[1].line, 6);
    cr_expect_eq(two.record[2].line, 9);
    bt_table_clear(&one);
    bt_table_clear(&two);
}

/* In a file separated by tabs a tab ends an empty cell: this is no comment. */
Test(csv, reads_a_hash_in_the_second_cell_of_a_file_with_tabs)
{
    expect_cells("\t# comment\na\tb\n\t#3\n # comment\n", "a|b / |#3");
}

static void set_line_ends(const char *text, const char *end, char *out)
{
    size_t n = 0;

    for (; *text; text++) {
        if (*text == '\n') {
            strcpy(out + n, end);
            n += strlen(end);
        } else {
            out[n++] = *text;
        }
    }
    out[n] = '\0';
}

Test(csv, gives_the_same_whatever_the_line_ends_and_the_byte_order_mark)
{
    static const char *const ends[] = {"\n", "\r\n", "\r"};
    static const char *const texts[] = {"a,b\n\n\"x\",2\n# c\n3,4", "a;b\n;\n1;\n",
                                        "\"q\"\"\",17\"\n,\"\"\n\n"};

    for (size_t i = 0; i < 3; i++) {
        struct bt_table plain;
        char want[1000];

        cr_assert_eq(parse(texts[i], &plain, NULL), BT_OK);
        flat(&plain, want);
        for (size_t k = 0; k < 6; k++) {
            char text[500] = "\xEF\xBB\xBF", got[1000];
            struct bt_table table;

            set_line_ends(texts[i], ends[k / 2], text + 3);
            cr_assert_eq(parse(text + 3 * (k % 2), &table, NULL), BT_OK);
            cr_expect_str_eq(flat(&table, got), want);
            for (size_t n = 0; n < table.nrecord; n++) {
                cr_expect_eq(table.record[n].line, plain.record[n].line);
                cr_expect_eq(table.record[n].cell[0].column,
                             plain.record[n].cell[0].column);
            }
            bt_table_clear(&table);
        }
        bt_table_clear(&plain);
    }
}

/* A cell as RFC 4180 has it written; a fixed generator gives its characters. */
static unsigned next_number(unsigned *state)
{
    *state = *state * 1664525u + 1013904223u;
    return *state >> 16;
}

static size_t make_cell(unsigned *state, char *cell)
{
    static const char *const letters[] = {
        "a", "7", " ", "\"", ",", ";", "\t", "#", "\xC2\xBD", "\xE2\x80\xB3", "'", "."};
    size_t n = 0;

    for (unsigned left = next_number(state) % 7; left > 0; left--) {
        const char *letter = letters[next_number(state) % 12];

        if ((n == 0 || left == 1) && strchr(" \t", letter[0]))
            letter = "x"; /* blanks around a text are not part of it */
        strcpy(cell + n, letter);
        n += strlen(letter);
    }
    cell[n] = '\0';
    return n;
}

static void write_cell(char **to, const char *cell)
{
    *(*to)++ = '"';
    for (; *cell; cell++) {
        if (*cell == '"')
            *(*to)++ = '"';
        *(*to)++ = *cell;
    }
    *(*to)++ = '"';
}

Test(csv, reads_back_what_was_written)
{
    enum { ROWS = 400, CELLS = 3 };
    static const char separators[] = ",;\t";
    static char cells[ROWS][CELLS][40], text[ROWS * CELLS * 80];
    unsigned state = 5;

    for (size_t s = 0; s < 3; s++) {
        struct bt_faults faults = {0};
        struct bt_table table;
        char *to = text;

        for (size_t i = 0; i < ROWS; i++)
            for (size_t k = 0; k < CELLS; k++) {
                if (make_cell(&state, cells[i][k]) == 0 && (k == 0 || i == 0))
                    strcpy(cells[i][k], "n"); /* no row is blank, no column nameless */
                write_cell(&to, cells[i][k]);
                *to++ = k + 1 < CELLS ? separators[s] : '\n';
            }
        cr_assert_eq(bt_table_parse(text, (size_t)(to - text), "f", &table, &faults),
                     BT_OK, "%s", faults.n ? faults.item[0].message : "");
        cr_assert_eq(table.nrecord, ROWS);
        cr_expect_eq(table.separator, separators[s]);
        for (size_t i = 0; i < ROWS; i++)
            for (size_t k = 0; k < CELLS; k++)
                cr_expect_str_eq(table.record[i].cell[k].text, cells[i][k]);
        bt_table_clear(&table);
    }
}

/* ---- faults ------------------------------------------------------------------ */

static const struct bad {
    const char *file;
    size_t line, column;
    const char *message;
} bad[] = {
    {"open_quote.csv", 3, 4,
     "quote not closed on its line: '\"100,3', close it, or leave it out"},
    {"open_quote_in_header.csv", 1, 9,
     "quote not closed on its line: '\"gap_thou', close it, or leave it out"},
    {"text_after_quote.csv", 2, 13,
     "text after a closing quote: 'long\"', double each quote that belongs to the text "
     "of a quoted cell"},
    {"too_few_cells.csv", 4, 5,
     "too few cells: 2 where the header has 3, type an empty cell for what was not "
     "taken"},
    {"too_many_cells.csv", 2, 8,
     "too many cells: 'a note' is beyond the 3 of the header, put a cell that holds a "
     "separator in quotes"},
    {"decimal_comma_cuts_a_number.csv", 3, 8,
     "too many cells: '0,030', a decimal comma? write 0.030"},
    {"nul_byte.csv", 3, 4,
     "NUL byte, which is no part of a text; save the file as plain text in UTF-8"},
    {"not_utf8.csv", 2, 3, "not UTF-8: byte 0xE9, save the file as UTF-8"},
    {"two_separators.csv", 3, 1,
     "two separators: the header has ',' between its cells and this row ';', use one "
     "in all rows"},
    {"two_separators_tab.csv", 2, 1,
     "two separators: the header has ';' between its cells and this row a tab, use one "
     "in all rows"},
    {"spreadsheet.csv", 1, 1,
     "this is a spreadsheet file, not a text table: save or export it as CSV"},
    {"spreadsheet_old.csv", 1, 1,
     "this is a spreadsheet file, not a text table: save or export it as CSV"},
    {"pdf.csv", 1, 1,
     "this is a picture or a PDF, not a text table: type what it shows into a CSV "
     "file"},
    {"picture.csv", 1, 1,
     "this is a picture or a PDF, not a text table: type what it shows into a CSV "
     "file"},
    {"photograph.csv", 1, 1,
     "this is a picture or a PDF, not a text table: type what it shows into a CSV "
     "file"},
    {"utf16_little_end.csv", 1, 1, "the file is UTF-16, save it as UTF-8"},
    {"utf16_big_end.csv", 1, 1, "the file is UTF-16, save it as UTF-8"},
    {"utf16_little_end_no_mark.csv", 1, 1, "the file is UTF-16, save it as UTF-8"},
    {"utf16_big_end_no_mark.csv", 1, 1, "the file is UTF-16, save it as UTF-8"},
    {"empty.csv", 1, 1,
     "nothing in it: no header, begin with a line that names the columns"},
    {"only_comments.csv", 1, 1,
     "nothing in it: no header, begin with a line that names the columns"},
};

Test(csv, names_the_fault_of_each_bad_file_and_its_place)
{
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        struct bt_faults faults = {0};
        struct bt_table table;
        char path[500];

        snprintf(path, sizeof path, "%s/bad/csv/%s", BT_TESTS_DIR, bad[i].file);
        cr_expect_eq(bt_table_read(path, bad[i].file, &table, &faults), BT_EINPUT);
        cr_expect_eq(table.nrecord, 0);
        cr_expect_null(table.record);
        cr_assert_eq(faults.n, 1, "%s: %zu faults", bad[i].file, faults.n);
        cr_expect_eq(faults.item[0].code, BT_EINPUT);
        cr_expect_str_eq(faults.item[0].file, bad[i].file);
        cr_expect_eq(faults.item[0].line, bad[i].line, "%s", bad[i].file);
        cr_expect_eq(faults.item[0].column, bad[i].column, "%s: column %zu",
                     bad[i].file, faults.item[0].column);
        cr_expect_str_eq(faults.item[0].message, bad[i].message);
        bt_faults_clear(&faults);
    }
}

Test(csv, reports_a_file_that_cannot_be_opened)
{
    struct bt_faults faults = {0};
    struct bt_table table;

    cr_expect_eq(bt_table_read(BT_TESTS_DIR, "tests", &table, &faults), BT_ENOFILE);
    cr_expect_eq(bt_table_read(BT_TESTS_DIR "/none.csv", "none.csv", &table, &faults),
                 BT_ENOFILE);
    cr_assert_eq(faults.n, 2);
    cr_expect_str_eq(faults.item[0].message, "is a folder, not a file");
    cr_expect_str_eq(faults.item[1].message, "there is no such file");
    cr_expect_eq(faults.item[0].line + faults.item[0].column, 0);
    cr_expect_eq(table.nrecord, 0);
    bt_faults_clear(&faults);
}

Test(csv, reports_all_faults_in_order)
{
    struct bt_faults faults = {0};
    struct bt_table table;

    cr_expect_eq(parse("a,b\n1\n2,3,4\n5,\"6\n7,8\n\"9\"x,\n", &table, &faults),
                 BT_EINPUT);
    cr_assert_eq(faults.n, 4);
    for (size_t i = 0; i < 3; i++)
        cr_expect_eq(faults.item[i].line, i + 2);
    cr_expect_eq(faults.item[3].line, 6);
    cr_expect_eq(faults.item[3].column, 4);
    bt_faults_clear(&faults);
}

Test(csv, returns_the_status_of_its_own_file_where_others_had_faults)
{
    struct bt_faults faults = {0};
    struct bt_table table;

    bt_fault_add(&faults, BT_EREAD, "other.csv", 0, 0, "x");
    cr_expect_eq(parse("a,b\n1\n", &table, &faults), BT_EINPUT);
    cr_expect_eq(parse("a,b\n1,2\n", &table, &faults), BT_OK);
    bt_table_clear(&table);
    bt_faults_clear(&faults);
}

Test(csv, stops_after_a_thousand_faults_and_says_so)
{
    enum { ROWS = 5000 };
    char *text = malloc(4 + 2 * ROWS + 1);
    struct bt_faults faults = {0};
    struct bt_table table;

    strcpy(text, "a,b\n");
    for (size_t i = 0; i < ROWS; i++)
        memcpy(text + 4 + 2 * i, "1\n", 3);
    cr_expect_eq(parse(text, &table, &faults), BT_EINPUT);
    cr_assert_eq(faults.n, 1001);
    cr_expect_eq(faults.item[1000].line, 1001);
    cr_expect_str_eq(faults.item[1000].message,
                     "1000 faults so far, the rest of the file was not read; correct "
                     "these first");
    bt_faults_clear(&faults);
    free(text);
}

Test(csv, refuses_a_line_of_ten_megabytes)
{
    enum { LENGTH = 10000000 };
    char *text = malloc(LENGTH + 4);
    struct bt_faults faults = {0};
    struct bt_table table;

    memset(text, ',', LENGTH + 4);
    memcpy(text, "a,b\n", 4);
    cr_expect_eq(bt_table_parse(text, LENGTH + 4, "f", &table, &faults), BT_EINPUT);
    cr_assert_eq(faults.n, 1);
    cr_expect_eq(faults.item[0].line, 2);
    cr_expect_str_eq(faults.item[0].message, "line of 10000000 bytes, no line may have "
                                             "more than 1000000; end each row with a "
                                             "line end");
    bt_faults_clear(&faults);
    free(text);
}

Test(csv, reads_the_longest_line_with_as_many_cells_as_it_can_hold)
{
    enum { LENGTH = 1000000 };
    char *text = malloc(LENGTH + 2);
    struct bt_table table;

    for (size_t i = 0; i < LENGTH; i++)
        text[i] = i % 2 ? ',' : 'x';
    text[LENGTH - 1] = 'y';
    cr_assert_eq(bt_table_parse(text, LENGTH, "f", &table, NULL), BT_OK);
    cr_assert_eq(table.record[0].n, LENGTH / 2);
    cr_expect_str_eq(table.record[0].cell[LENGTH / 2 - 1].text, "xy");
    cr_expect_eq(table.record[0].cell[LENGTH / 2 - 1].column, LENGTH - 1);
    bt_table_clear(&table);
    free(text);
}

Test(csv, shows_a_long_text_cut_and_without_control_characters)
{
    struct bt_faults faults = {0};
    struct bt_table table;
    char text[200] = "a\n1,\x1B[2J", want[200];

    memset(text + strlen(text), 'w', 100);
    cr_expect_eq(parse(text, &table, &faults), BT_EINPUT);
    cr_assert_eq(faults.n, 1);
    memset(want, 'w', sizeof want);
    memcpy(want, "too many cells: '?[2J", 21);
    strcpy(want + 21 + 56,
           "...' is beyond the 1 of the header, put a cell that holds a "
           "separator in quotes");
    cr_expect_str_eq(faults.item[0].message, want);
    bt_faults_clear(&faults);
}

/* ---- memory ------------------------------------------------------------------ */

/* With for_good all allocations after the failing one fail, too. */
static bool for_good;

static void fail_in_turn(const char *text, enum bt_status otherwise)
{
    size_t at = 0;

    do {
        struct bt_faults faults = {0};
        struct bt_table table;
        enum bt_status got;

        at++;
        if (for_good)
            memory_fail_from(at);
        else
            memory_fail_at(at);
        got = parse(text, &table, &faults);
        if (got == BT_ENOMEM) {
            cr_expect_eq(table.nrecord, 0);
            cr_expect_null(table.store);
            cr_expect(faults.lost || faults.item[faults.n - 1].code == BT_ENOMEM);
        } else {
            cr_expect_eq(got, otherwise);
            /* libcsv asks for less where it is refused once */
            cr_expect(memory_calls() < at || !for_good, "call %zu", at);
        }
        bt_table_clear(&table);
        bt_faults_clear(&faults);
    } while (memory_calls() >= at);
    cr_expect_gt(at, 6);
}

Test(csv, ends_cleanly_whichever_allocation_fails)
{
    for (int i = 0; i < 2; i++) {
        for_good = i == 1;
        fail_in_turn(
            "a,b,c\n1,2,3\n\"4\",,\n5,6,7\n8,9,10\n1,1,1\n1,1,1\n1,1,1\n1,1,1\n",
            BT_OK);
        fail_in_turn("a,b\n1\n\"2\n3,4,5\n", BT_EINPUT);
    }
}
