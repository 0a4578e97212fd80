/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Linked with every library of the program and -Wl,--no-as-needed: loads them. */
int main(void)
{
    return 0;
}
