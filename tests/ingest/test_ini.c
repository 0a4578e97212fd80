/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/ingest/ini.h"
#include "support/memory.h"

static enum bt_status parse(const char *text, struct bt_ini *ini,
                            struct bt_faults *faults)
{
    return bt_ini_parse(text, strlen(text), "job.ini", ini, faults);
}

static void expect_text(const struct bt_ini_text *got, const char *want, size_t column)
{
    cr_expect_str_eq(got->text, want);
    cr_expect_eq(got->length, strlen(want), "length of '%s'", want);
    cr_expect_eq(got->column, column, "column of '%s': %zu", want, got->column);
}

/* Sections and entries as they stand, for comparing two files. */
static const char *flat(const struct bt_ini *ini, char out[1000])
{
    size_t n = 0;

    out[0] = '\0';
    for (size_t i = 0; i < ini->nsection; i++) {
        const struct bt_ini_section *section = &ini->section[i];

        n += (size_t)snprintf(out + n, 1000 - n, "[%s|%s]", section->kind.text,
                              section->name.text);
        for (size_t k = 0; k < section->nentry; k++)
            n += (size_t)snprintf(out + n, 1000 - n, "%s=%s;",
                                  section->entry[k].key.text,
                                  section->entry[k].value.text);
    }
    return out;
}

Test(ini, gives_sections_and_entries_with_line_and_column)
{
    static const char text[] = "# ash reading-room table\n"
                               "[panel]\n"
                               "length = 4' 6 1/2\"\n"
                               "\n"
                               "\t [ readings   after  glue-up ] \n"
                               "  files=a.csv,  b.csv ; both\t\n"
                               "\xC3\xA9tat  =\n"
                               "u = = [x] # y\n";
    const struct bt_ini_section *section;
    struct bt_ini ini;

    cr_assert_eq(parse(text, &ini, NULL), BT_OK);
    cr_assert_eq(ini.nsection, 2);
    section = ini.section;
    cr_expect_eq(section->line, 2);
    expect_text(&section->kind, "panel", 2);
    expect_text(&section->name, "", 7);
    cr_assert_eq(section->nentry, 1);
    cr_expect_eq(section->entry[0].line, 3);
    expect_text(&section->entry[0].key, "length", 1);
    expect_text(&section->entry[0].value, "4' 6 1/2\"", 10);
    section++;
    cr_expect_eq(section->line, 5);
    expect_text(&section->kind, "readings", 5);
    expect_text(&section->name, "after  glue-up", 16);
    cr_assert_eq(section->nentry, 3);
    cr_expect_eq(section->entry[0].line, 6);
    expect_text(&section->entry[0].key, "files", 3);
    expect_text(&section->entry[0].value, "a.csv,  b.csv ; both", 9);
    expect_text(&section->entry[1].key, "\xC3\xA9tat", 1);
    expect_text(&section->entry[1].value, "", 8);
    expect_text(&section->entry[2].value, "= [x] # y", 5);
    bt_ini_clear(&ini);
    cr_expect_null(ini.section);
    bt_ini_clear(NULL);
}

Test(ini, keeps_a_section_without_entries)
{
    struct bt_ini ini;

    cr_assert_eq(parse("[a]\n[b]\nx=1\n[c]", &ini, NULL), BT_OK);
    cr_assert_eq(ini.nsection, 3);
    cr_expect_eq(ini.section[0].nentry, 0);
    cr_expect_eq(ini.section[1].nentry, 1);
    cr_expect_str_eq(ini.section[1].entry[0].value.text, "1");
    cr_expect_eq(ini.section[2].nentry, 0);
    bt_ini_clear(&ini);
}

Test(ini, reads_a_file_with_nothing_in_it_as_no_section)
{
    static const char *const texts[] = {"", "\n \n", "# x\n  ; y", "\xEF\xBB\xBF"};

    for (size_t i = 0; i < 4; i++) {
        struct bt_faults faults = {0};
        struct bt_ini ini;

        cr_expect_eq(parse(texts[i], &ini, &faults), BT_OK);
        cr_expect_eq(ini.nsection, 0);
        cr_expect_eq(faults.n, 0);
        bt_ini_clear(&ini);
    }
}

Test(ini, takes_the_same_key_in_two_sections_and_the_same_name_of_two_kinds)
{
    struct bt_faults faults = {0};
    struct bt_ini ini;

    cr_expect_eq(
        parse("[a x]\nk=1\nK=2\n[b x]\nk=3\n[a]\nk=4\n[a  y  z]\n[a y z]\n[A x]", &ini,
              &faults),
        BT_OK);
    cr_expect_eq(faults.n, 0);
    cr_expect_eq(ini.nsection, 6);
    bt_ini_clear(&ini);
}

Test(ini, gives_the_same_whatever_the_line_ends_and_the_byte_order_mark)
{
    static const char *const ends[] = {"\n", "\r\n", "\r"};
    static const char text[] = "[job]|title = oak seat||# c|[readings a b]|u =|k=v";

    for (size_t k = 0; k < 6; k++) {
        char with[200] = "\xEF\xBB\xBF", got[1000];
        size_t n = 3;
        struct bt_ini ini;

        for (const char *c = text; *c; c++)
            n += (size_t)sprintf(with + n, "%.*s%s", *c != '|', c,
                                 *c == '|' ? ends[k / 2] : "");
        cr_assert_eq(parse(with + 3 * (k % 2), &ini, NULL), BT_OK);
        cr_expect_str_eq(flat(&ini, got), "[job|]title=oak seat;[readings|a b]u=;k=v;");
        cr_expect_eq(ini.section[1].entry[1].line, 7);
        cr_expect_eq(ini.section[0].kind.column, 2);
        bt_ini_clear(&ini);
    }
}

Test(ini, cuts_neither_a_long_value_nor_a_long_name_and_joins_no_lines)
{
    enum { LONG = 200000 };
    char *text = malloc(2 * LONG + 100);
    struct bt_ini ini;
    int n = sprintf(text, "[readings %0*d]\nvalue = %0*d\n  indented = 1\n", LONG, 7,
                    LONG, 8);

    cr_assert_gt(n, 2 * LONG);
    cr_assert_eq(parse(text, &ini, NULL), BT_OK);
    cr_expect_eq(ini.section[0].name.length, LONG);
    cr_assert_eq(ini.section[0].nentry, 2);
    cr_expect_eq(ini.section[0].entry[0].value.length, LONG);
    cr_expect_eq(ini.section[0].entry[0].value.text[LONG - 1], '8');
    bt_ini_clear(&ini);
    free(text);
}

Test(ini, reads_back_what_was_written)
{
    enum { SECTIONS = 40, ENTRIES = 30 };
    static const char *const values[] = {
        "", "17 7/8\"", "a = b", "[x]", "1 # 2; 3", "\xC2\xBD \xE2\x80\xB3", "'"};
    char *text = malloc(SECTIONS * ENTRIES * 60);
    struct bt_ini ini;
    size_t n = 0;

    for (int i = 0; i < SECTIONS; i++) {
        n += (size_t)sprintf(text + n, "[kind%d set  %d]\n", i % 4, i);
        for (int k = 0; k < ENTRIES; k++)
            n += (size_t)sprintf(text + n, "key %d = %s\n", k, values[(i + k) % 7]);
    }
    cr_assert_eq(parse(text, &ini, NULL), BT_OK);
    cr_assert_eq(ini.nsection, SECTIONS);
    for (int i = 0; i < SECTIONS; i++) {
        const struct bt_ini_section *section = &ini.section[i];
        char want[40];

        sprintf(want, "set  %d", i);
        cr_expect_str_eq(section->name.text, want);
        cr_assert_eq(section->nentry, ENTRIES);
        for (int k = 0; k < ENTRIES; k++) {
            sprintf(want, "key %d", k);
            cr_expect_str_eq(section->entry[k].key.text, want);
            cr_expect_str_eq(section->entry[k].value.text, values[(i + k) % 7]);
        }
    }
    bt_ini_clear(&ini);
    free(text);
}

/* ---- faults ------------------------------------------------------------------ */

static const struct bad {
    const char *file;
    size_t line, column;
    const char *message;
} bad[] = {
    {"no_equals.ini", 5, 1,
     "neither section, entry nor comment: 'length 1420 mm', write name = value"},
    {"entry_before_section.ini", 2, 3,
     "entry before the first section: 'length = 1420 mm', put a section head such as "
     "[job] above it"},
    {"head_not_closed.ini", 3, 1,
     "section head without a ']': '[readings after glue-up', close it"},
    {"text_after_head.ini", 1, 9,
     "text after a section head: 'length = 900 mm', give it a line of its own"},
    {"empty_head.ini", 2, 2, "empty section head: '[  ]', name the section"},
    {"empty_key.ini", 2, 3, "no name before the '=': '= 900 mm', write name = value"},
    {"repeated_key.ini", 5, 3,
     "key repeated: 'length', it stands in line 2 already; leave one of the two"},
    {"repeated_section.ini", 4, 3,
     "section repeated: 'readings  after glue-up', it stands in line 1 already; join "
     "the two, or rename one"},
    {"nul_byte.ini", 2, 10,
     "NUL byte, which is no part of a text; save the file as plain text in UTF-8"},
    {"not_utf8.ini", 2, 9, "not UTF-8: byte 0xFC, save the file as UTF-8"},
    {"utf16_little_end.ini", 1, 1, "the file is UTF-16, save it as UTF-8"},
    {"utf16_big_end_no_mark.ini", 1, 1, "the file is UTF-16, save it as UTF-8"},
};

Test(ini, names_the_fault_of_each_bad_file_and_its_place)
{
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        struct bt_faults faults = {0};
        struct bt_ini ini;
        char path[500];

        snprintf(path, sizeof path, "%s/bad/ini/%s", BT_TESTS_DIR, bad[i].file);
        cr_expect_eq(bt_ini_read(path, bad[i].file, &ini, &faults), BT_EINPUT);
        cr_expect_eq(ini.nsection, 0);
        cr_expect_null(ini.section);
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

Test(ini, reports_a_file_that_cannot_be_opened)
{
    struct bt_faults faults = {0};
    struct bt_ini ini;

    cr_expect_eq(bt_ini_read(BT_TESTS_DIR "/none", "job.ini", &ini, &faults),
                 BT_ENOFILE);
    cr_assert_eq(faults.n, 1);
    cr_expect_str_eq(faults.item[0].message, "there is no such file");
    cr_expect_eq(faults.item[0].line + faults.item[0].column, 0);
    cr_expect_eq(ini.nsection, 0);
    bt_faults_clear(&faults);
}

Test(ini, reports_all_faults_in_order)
{
    static const size_t lines[] = {1, 3, 5, 6};
    struct bt_faults faults = {0};
    struct bt_ini ini;

    cr_expect_eq(parse("x\n[a]\n=1\nk=1\nk=2\n[b", &ini, &faults), BT_EINPUT);
    cr_assert_eq(faults.n, 4);
    for (size_t i = 0; i < 4; i++)
        cr_expect_eq(faults.item[i].line, lines[i]);
    bt_faults_clear(&faults);
}

/* The keys below a faulty head belong to nobody: they repeat none of [a]. */
Test(ini, reports_nothing_more_for_the_entries_below_a_faulty_head)
{
    struct bt_faults faults = {0};
    struct bt_ini ini;

    cr_expect_eq(parse("[a]\nk=1\n[b\nk=1\n", &ini, &faults), BT_EINPUT);
    cr_expect_eq(faults.n, 1);
    bt_faults_clear(&faults);
}

Test(ini, finds_every_repeated_key_among_many)
{
    enum { KEYS = 3000 };
    char *text = malloc(KEYS * 20);
    struct bt_faults faults = {0};
    struct bt_ini ini;
    size_t n = (size_t)sprintf(text, "[a]\n");

    for (int i = 0; i < KEYS; i++)
        n += (size_t)sprintf(text + n, "k%d=1\n", i);
    cr_expect_eq(parse(text, &ini, &faults), BT_OK);
    bt_ini_clear(&ini);
    for (int i = 0; i < KEYS; i += 100)
        n += (size_t)sprintf(text + n, "k%d=1\n", i);
    cr_expect_eq(parse(text, &ini, &faults), BT_EINPUT);
    cr_assert_eq(faults.n, KEYS / 100);
    cr_expect_str_eq(faults.item[3].message, "key repeated: 'k300', it stands in line "
                                             "302 already; leave one of the two");
    bt_faults_clear(&faults);
    free(text);
}

Test(ini, stops_after_a_thousand_faults_and_says_so)
{
    enum { LINES = 3000 };
    char *text = malloc(2 * LINES + 1);
    struct bt_faults faults = {0};
    struct bt_ini ini;

    for (size_t i = 0; i < LINES; i++)
        memcpy(text + 2 * i, "x\n", 3);
    cr_expect_eq(parse(text, &ini, &faults), BT_EINPUT);
    cr_assert_eq(faults.n, 1001);
    cr_expect_eq(faults.item[1000].line, 1000);
    cr_expect_str_eq(faults.item[1000].message,
                     "1000 faults so far, the rest of the file was not read; correct "
                     "these first");
    bt_faults_clear(&faults);
    free(text);
}

Test(ini, refuses_a_line_of_ten_megabytes)
{
    enum { LENGTH = 10000000 };
    char *text = malloc(LENGTH);
    struct bt_faults faults = {0};
    struct bt_ini ini;

    memset(text, 'x', LENGTH);
    cr_expect_eq(bt_ini_parse(text, LENGTH, "f", &ini, &faults), BT_EINPUT);
    cr_assert_eq(faults.n, 1);
    cr_expect_eq(faults.item[0].line, 1);
    cr_expect_str_eq(faults.item[0].message, "line of 10000000 bytes, no line may have "
                                             "more than 1000000; end each row with a "
                                             "line end");
    bt_faults_clear(&faults);
    free(text);
}

Test(ini, ends_cleanly_whichever_allocation_fails)
{
    static const char *const texts[] = {
        "[a]\nk=1\nl=2\n[b]\nk=1\n1=\n2=\n3=\n4=\n5=\n6=\n7=\n8=\n9=\n10=\n[c]\n[d]\n"
        "[e]\n[f]\n[g]\n[h]\n[i]\n[j]\n[k]\n[l]\n[m]\n[n]\n[o]\n[p]\n[q]\n[r]\n[s]\n",
        "x\n[a]\nk=1\nk=2\n[a]\n"};

    for (size_t i = 0; i < 2; i++) {
        size_t at = 0;

        do {
            struct bt_faults faults = {0};
            struct bt_ini ini;
            enum bt_status got;

            memory_fail_at(++at);
            got = parse(texts[i], &ini, &faults);
            if (memory_calls() >= at) {
                cr_expect_eq(got, BT_ENOMEM, "call %zu", at);
                cr_expect_eq(ini.nsection, 0);
                cr_expect_null(ini.store);
                cr_expect(faults.lost || faults.item[faults.n - 1].code == BT_ENOMEM);
            } else {
                cr_expect_eq(got, i ? BT_EINPUT : BT_OK);
            }
            bt_ini_clear(&ini);
            bt_faults_clear(&faults);
        } while (memory_calls() >= at);
        cr_expect_gt(at, 6);
    }
}
