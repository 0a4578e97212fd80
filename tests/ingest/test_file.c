/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/ingest/file.h"

/* Read a path that cannot be read; the fault must have no place. */
static void expect_refused(const char *path, enum bt_status want, const char *message)
{
    struct bt_faults faults = {0};
    char *text = (char *)&faults;
    size_t length = 7;

    cr_expect_eq(bt_file_read(path, "gaps.csv", &text, &length, &faults), want);
    cr_expect_null(text);
    cr_expect_eq(length, 0);
    cr_assert_eq(faults.n, 1);
    cr_expect_eq(faults.item[0].code, want);
    cr_expect_eq(faults.item[0].line, 0);
    cr_expect_eq(faults.item[0].column, 0);
    cr_expect_str_eq(faults.item[0].file, "gaps.csv");
    cr_expect_str_eq(faults.item[0].message, message);
    bt_faults_clear(&faults);
}

static void write_file(const char *path, const char *text, size_t length)
{
    FILE *file = fopen(path, "wb");

    cr_assert(file != NULL);
    cr_assert_eq(fwrite(text, 1, length, file), length);
    cr_assert_eq(fclose(file), 0);
}

static void make_folder(char folder[64])
{
    strcpy(folder, "/tmp/benchtrue-test-XXXXXX");
    cr_assert(mkdtemp(folder) != NULL);
}

Test(file, reads_every_byte_and_adds_a_nul)
{
    enum { LENGTH = 300001 };
    char folder[64], path[96], *want = malloc(LENGTH), *text;
    struct bt_faults faults = {0};
    size_t length;

    for (size_t i = 0; i < LENGTH; i++)
        want[i] = (char)(i * 7 + i / 256);
    make_folder(folder);
    snprintf(path, sizeof path, "%s/bytes", folder);
    write_file(path, want, LENGTH);
    cr_assert_eq(bt_file_read(path, "bytes", &text, &length, &faults), BT_OK);
    cr_expect_eq(length, LENGTH);
    cr_expect_eq(memcmp(text, want, LENGTH), 0);
    cr_expect_eq(text[LENGTH], '\0');
    cr_expect_eq(faults.n, 0);
    bt_free(text);
    free(want);
    remove(path);
    remove(folder);
}

Test(file, reads_an_empty_file_as_no_bytes)
{
    char *text;
    size_t length = 3;

    cr_assert_eq(bt_file_read("/dev/null", "n", &text, &length, NULL), BT_OK);
    cr_expect_eq(length, 0);
    cr_expect_str_eq(text, "");
    bt_free(text);
}

Test(file, says_that_a_file_does_not_exist)
{
    expect_refused(BT_TESTS_DIR "/bad/csv/never_written.csv", BT_ENOFILE,
                   "there is no such file");
    expect_refused(BT_TESTS_DIR "/bad/csv/empty.csv/below_a_file", BT_ENOFILE,
                   "there is no such file");
    expect_refused("", BT_ENOFILE, "there is no such file");
}

Test(file, says_that_a_folder_is_no_file)
{
    expect_refused(BT_TESTS_DIR, BT_ENOFILE, "is a folder, not a file");
}

/* Root may read everything, so a child gives its rights up first. */
Test(file, says_that_permission_is_denied)
{
    char folder[64], path[96];
    pid_t child;
    int status;

    make_folder(folder);
    snprintf(path, sizeof path, "%s/closed", folder);
    write_file(path, "x", 1);
    cr_assert_eq(chmod(folder, 0755), 0);
    cr_assert_eq(chmod(path, 0), 0);
    child = fork();
    cr_assert(child >= 0);
    if (child == 0) {
        struct bt_faults faults = {0};
        enum bt_status got;
        size_t length;
        char *text;

        if (geteuid() == 0 && seteuid(65534) != 0)
            _exit(2);
        got = bt_file_read(path, "closed", &text, &length, &faults);
        if (got != BT_ENOFILE || faults.n != 1)
            _exit(3);
        _exit(strcmp(faults.item[0].message, "may not be read: permission denied") != 0
                  ? 4
                  : 0);
    }
    cr_assert_eq(waitpid(child, &status, 0), child);
    cr_expect(WIFEXITED(status));
    cr_expect_eq(WEXITSTATUS(status), 0);
    remove(path);
    remove(folder);
}

Test(file, gives_the_systems_text_where_opening_fails_otherwise)
{
    char folder[64], path[96];

    make_folder(folder);
    snprintf(path, sizeof path, "%s/loop", folder);
    cr_assert_eq(symlink(path, path), 0);
    expect_refused(path, BT_EREAD,
                   "cannot be opened: Too many levels of symbolic links");
    remove(path);
    remove(folder);
}

/* The first page of a process is never mapped: reading there fails. */
Test(file, gives_the_systems_text_where_reading_fails)
{
    expect_refused("/proc/self/mem", BT_EREAD, "cannot be read: Input/output error");
}

/* A pipe does not tell its size, so that the room grows while it is read. */
Test(file, reads_a_pipe_to_its_end)
{
    enum { LENGTH = 400000 };
    char *want = malloc(LENGTH), path[32], *text;
    int ends[2];
    size_t length;

    for (size_t i = 0; i < LENGTH; i++)
        want[i] = (char)(i * 7 + i / 256);
    cr_assert_eq(pipe(ends), 0);
    snprintf(path, sizeof path, "/dev/fd/%d", ends[0]);
    if (fork() == 0) {
        size_t sent = 0;

        while (sent < LENGTH) {
            ssize_t n = write(ends[1], want + sent, LENGTH - sent);

            if (n <= 0)
                _exit(1);
            sent += (size_t)n;
        }
        _exit(0);
    }
    close(ends[1]);
    cr_assert_eq(bt_file_read(path, "pipe", &text, &length, NULL), BT_OK);
    cr_assert_eq(length, LENGTH);
    cr_expect_eq(memcmp(text, want, LENGTH), 0);
    bt_free(text);
    free(want);
    close(ends[0]);
    while (wait(NULL) > 0)
        continue;
}

static void nothing(int number)
{
    (void)number;
}

Test(file, goes_on_after_a_signal_interrupts_it)
{
    struct sigaction action = {.sa_handler = nothing};
    struct itimerval often = {{0, 5000}, {0, 5000}}, never = {{0, 0}, {0, 0}};
    char path[32], *text;
    int ends[2];
    size_t length;
    enum bt_status got;

    cr_assert_eq(pipe(ends), 0);
    snprintf(path, sizeof path, "/dev/fd/%d", ends[0]);
    if (fork() == 0) {
        struct timespec wait = {0, 60000000};

        nanosleep(&wait, NULL);
        _exit(write(ends[1], "late", 4) == 4 ? 0 : 1);
    }
    close(ends[1]);
    cr_assert_eq(sigaction(SIGALRM, &action, NULL), 0);
    cr_assert_eq(setitimer(ITIMER_REAL, &often, NULL), 0);
    got = bt_file_read(path, "pipe", &text, &length, NULL);
    cr_assert_eq(setitimer(ITIMER_REAL, &never, NULL), 0);
    cr_assert_eq(got, BT_OK);
    cr_expect_eq(length, 4);
    cr_expect_str_eq(text, "late");
    bt_free(text);
    close(ends[0]);
    while (wait(NULL) > 0)
        continue;
}

Test(file, takes_lines_ended_by_lf_crlf_or_cr)
{
    static const char text[] = "a\nbc\r\n\rd\r\n\n\re";
    static const char *const want[] = {"a", "bc", "", "d", "", "", "e"};
    struct bt_line line = {0, NULL, 0};
    size_t at = 0, n = 0;

    while (bt_text_line(text, sizeof text - 1, &at, &line)) {
        cr_assert_lt(n, 7);
        cr_expect_eq(line.number, n + 1);
        cr_expect_eq(line.length, strlen(want[n]));
        cr_expect_eq(memcmp(line.text, want[n], line.length), 0, "line %zu", n + 1);
        n++;
    }
    cr_expect_eq(n, 7);
    at = 0;
    line.number = 0;
    cr_expect(bt_text_line("a\n", 2, &at, &line));
    cr_expect_not(bt_text_line("a\n", 2, &at, &line));
    cr_expect_eq(line.number, 1);
}

Test(file, counts_characters_not_bytes)
{
    cr_expect_eq(bt_text_columns("17\xC2\xBD\xE2\x80\xB3", 7), 4);
    cr_expect_eq(bt_text_columns("", 0), 0);
}

/* Edges of the table in RFC 3629, section 4. */
Test(file, knows_the_characters_of_utf8)
{
    static const struct {
        const char *bytes;
        size_t length, want;
    } rows[] = {
        {"\x00", 1, 1},
        {"\x7F", 1, 1},
        {"\x80", 1, 0},
        {"\xC1\xBF", 2, 0},
        {"\xC2\x80", 2, 2},
        {"\xC2", 1, 0},
        {"\xC2\x41", 2, 0},
        {"\xDF\xBF", 2, 2},
        {"\xE0\x9F\xBF", 3, 0},
        {"\xE0\xA0\x80", 3, 3},
        {"\xED\x9F\xBF", 3, 3},
        {"\xED\xA0\x80", 3, 0},
        {"\xEE\x80\x80", 3, 3},
        {"\xEF\xBF\xBF", 3, 3},
        {"\xEF\xBF", 2, 0},
        {"\xF0\x8F\xBF\xBF", 4, 0},
        {"\xF0\x90\x80\x80", 4, 4},
        {"\xF4\x8F\xBF\xBF", 4, 4},
        {"\xF4\x90\x80\x80", 4, 0},
        {"\xF5\x80\x80\x80", 4, 0},
        {"\xF0\x90\x80", 3, 0},
        {"", 0, 0},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        cr_expect_eq(bt_text_character(rows[i].bytes, rows[i].length), rows[i].want,
                     "row %zu", i);
}

Test(file, skips_a_byte_order_mark)
{
    size_t start = 9;

    cr_expect_eq(bt_text_check("\xEF\xBB\xBF"
                               "a\n",
                               5, "f", &start, NULL),
                 BT_OK);
    cr_expect_eq(start, 3);
    cr_expect_eq(bt_text_check("a\n", 2, "f", &start, NULL), BT_OK);
    cr_expect_eq(start, 0);
    cr_expect_eq(bt_text_check(NULL, 0, "f", &start, NULL), BT_OK);
}

Test(file, reports_the_first_of_each_encoding_fault_with_its_place)
{
    static const char text[] = "\xEF\xBB\xBF"
                               "ab\r\xC3\xA9\xFF\xFE\0\0\r\nx\0\x80";
    struct bt_faults faults = {0};
    size_t start;

    cr_expect_eq(bt_text_check(text, sizeof text - 1, "f", &start, &faults), BT_EINPUT);
    cr_assert_eq(faults.n, 2);
    cr_expect_eq(faults.item[0].line, 2);
    cr_expect_eq(faults.item[0].column, 2);
    cr_expect_str_eq(faults.item[0].message,
                     "not UTF-8: byte 0xFF, save the file as UTF-8");
    cr_expect_eq(faults.item[1].line, 2);
    cr_expect_eq(faults.item[1].column, 4);
    cr_expect_str_eq(faults.item[1].message, "NUL byte, which is no part of a text; "
                                             "save the file as plain text in UTF-8");
    bt_faults_clear(&faults);
}

Test(file, accepts_a_line_of_a_million_bytes_and_refuses_one_more)
{
    char *text = malloc(BT_LINE_MAX + 3);
    struct bt_faults faults = {0};
    size_t start;

    memset(text, 'x', BT_LINE_MAX + 3);
    text[0] = '\n';
    text[BT_LINE_MAX + 1] = '\n';
    cr_expect_eq(bt_text_check(text, BT_LINE_MAX + 3, "f", &start, &faults), BT_OK);
    text[BT_LINE_MAX + 1] = 'x';
    text[BT_LINE_MAX + 2] = '\r';
    cr_expect_eq(bt_text_check(text, BT_LINE_MAX + 3, "f", &start, &faults), BT_EINPUT);
    cr_assert_eq(faults.n, 1);
    cr_expect_eq(faults.item[0].line, 2);
    cr_expect_eq(faults.item[0].column, 1);
    cr_expect_str_eq(faults.item[0].message, "line of 1000001 bytes, no line may have "
                                             "more than 1000000; end each row with a "
                                             "line end");
    bt_faults_clear(&faults);
    free(text);
}
