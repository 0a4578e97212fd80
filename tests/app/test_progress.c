/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _XOPEN_SOURCE 700 /* pseudo-terminals */

#include "app/progress.h"

#include <criterion/criterion.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define WIPE "\r\x1b[K"

/* stderr for one test, and what came out of it. */
struct screen {
    int kept, other; /* the true stderr; the end that is read */
    char text[500];
};

static void screen_make(struct screen *screen, int end, int other)
{
    cr_assert(end >= 0 && other >= 0);
    screen->kept = dup(STDERR_FILENO);
    screen->other = other;
    cr_assert(screen->kept >= 0 && dup2(end, STDERR_FILENO) >= 0);
    close(end);
    cr_assert_eq(fcntl(other, F_SETFL, O_NONBLOCK), 0);
    cr_assert_eq(setenv("TERM", "xterm", 1), 0);
}

static void screen_terminal(struct screen *screen)
{
    int other = posix_openpt(O_RDWR | O_NOCTTY);

    cr_assert(other >= 0 && grantpt(other) == 0 && unlockpt(other) == 0);
    screen_make(screen, open(ptsname(other), O_RDWR | O_NOCTTY), other);
}

/* What was written since; "" where nothing was. */
static const char *screen_read(struct screen *screen)
{
    ssize_t n = read(screen->other, screen->text, sizeof screen->text - 1);

    screen->text[n > 0 ? n : 0] = '\0';
    return screen->text;
}

static void screen_close(struct screen *screen)
{
    dup2(screen->kept, STDERR_FILENO);
    close(screen->kept);
    close(screen->other);
}

Test(progress, over_a_second_is_told_on_one_line_that_goes_away)
{
    struct screen screen;
    struct progress progress;

    screen_terminal(&screen);
    progress_start(&progress);
    progress.start.tv_sec -= 2;
    progress_read(&progress, "a/scan.csv", 0.419);
    cr_expect_str_eq(screen_read(&screen), WIPE "reading scan.csv: 41 %");
    progress_read(&progress, "a/scan.csv", 0.43); /* too soon for a new line */
    cr_expect_str_eq(screen_read(&screen), "");
    progress.shown.tv_sec -= 1;
    progress_read(&progress, "a/scan.csv", 1);
    cr_expect_str_eq(screen_read(&screen), WIPE "reading scan.csv: 100 %");
    progress_say(&progress, "working out the figures");
    cr_expect_str_eq(screen_read(&screen), WIPE "working out the figures");
    progress_end(&progress);
    cr_expect_str_eq(screen_read(&screen), WIPE);
    progress_end(&progress);
    cr_expect_str_eq(screen_read(&screen), "");
    screen_close(&screen);
}

Test(progress, within_a_second_is_not_told)
{
    struct screen screen;
    struct progress progress;

    screen_terminal(&screen);
    progress_start(&progress);
    progress_read(&progress, "scan.csv", 0.4);
    progress_say(&progress, "working out the figures");
    progress_end(&progress);
    cr_expect_str_eq(screen_read(&screen), "");
    screen_close(&screen);
}

Test(progress, shows_a_name_without_its_control_characters_and_leaves_a_long_one_out)
{
    struct screen screen;
    struct progress progress;
    char name[100];

    memset(name, 'n', sizeof name - 1);
    name[sizeof name - 1] = '\0';
    screen_terminal(&screen);
    progress_start(&progress);
    progress.start.tv_sec -= 2;
    progress_read(&progress, "a\x1b[2J.csv", 0);
    cr_expect_null(strstr(screen_read(&screen) + 1, "\x1b[2J"));
    progress.shown.tv_sec -= 1;
    progress_read(&progress, name, 0.5);
    cr_expect_str_eq(screen_read(&screen), WIPE "reading: 50 %");
    screen_close(&screen);
}

Test(progress, is_not_told_where_stderr_is_no_terminal_or_a_dumb_one)
{
    struct screen screen;
    struct progress progress;
    int ends[2];

    cr_assert_eq(pipe(ends), 0);
    screen_make(&screen, ends[1], ends[0]);
    progress_start(&progress);
    progress.start.tv_sec -= 2;
    progress_read(&progress, "scan.csv", 0.4);
    progress_end(&progress);
    cr_expect_str_eq(screen_read(&screen), "");
    screen_close(&screen);
    screen_terminal(&screen);
    cr_assert_eq(setenv("TERM", "dumb", 1), 0);
    progress_start(&progress);
    progress.start.tv_sec -= 2;
    progress_read(&progress, "scan.csv", 0.4);
    progress_end(&progress);
    cr_expect_str_eq(screen_read(&screen), "");
    screen_close(&screen);
}
