/* Reads the words of a command line into the values of a command's options.
 *
 * "--name value" and "--name=value" are the same, and so is "-n value" for an option with a letter; "--" ends
 * the options; "-" is a file. A wrong word is an error with the nearest known one, never a guess. */
#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "command.h"
#include "complain.h"

static int option_count(const command *cmd) {
    int n = 0;
    while (cmd->options && cmd->options[n].name) n++;
    return n;
}

static int option_find(const command *cmd, const char *name, size_t length) {
    for (int i = 0; i < option_count(cmd); i++)
        if (strlen(cmd->options[i].name) == length && strncmp(cmd->options[i].name, name, length) == 0)
            return i;
    return -1;
}

/* The option that "-o" means. */
static int letter_find(const command *cmd, const char *word) {
    for (int i = 0; word[1] && !word[2] && i < option_count(cmd); i++)
        if (cmd->options[i].letter == word[1]) return i;
    return -1;
}

static int unknown_option(const command *cmd, const char *word, size_t length) {
    const char *names[OPTIONS_MAX + 1];
    char name[64];
    int n = option_count(cmd);
    for (int i = 0; i < n; i++) names[i] = cmd->options[i].name;
    names[n++] = "help";
    snprintf(name, sizeof name, "%.*s", (int)length, word);
    const char *nearest = nearest_word(name, names, n);
    if (nearest)
        return complain(EXIT_USAGE, NULL, "%s has no option --%s; the nearest is --%s", cmd->name, name,
                        nearest);
    char remedy[128];
    snprintf(remedy, sizeof remedy, "lengthwise %s --help lists what there is", cmd->name);
    return complain(EXIT_USAGE, remedy, "%s has no option --%s", cmd->name, name);
}

static int bad_value(const option *o, const char *text) {
    return complain(EXIT_USAGE, o->help, "--%s takes %s, not \"%s\"", o->name, o->argument, text);
}

static int read_whole(value *out, const option *o, const char *text) {
    char *end;
    errno = 0;
    out->whole = strtoull(text, &end, 10);
    if (!isdigit((unsigned char)text[0]) || *end) return bad_value(o, text);
    if (errno || (double)out->whole < o->low || (double)out->whole > o->high)
        return complain(EXIT_USAGE, NULL, "--%s is from %.0f to %.0f, not %s", o->name, o->low, o->high,
                        text);
    return EXIT_FINE;
}

/* A length at the start of text; *rest is where it ends, NULL where there is none. */
static double length_at(const char *text, const char **rest) {
    char *end;
    double number = strtod(text, &end);
    bool plain = isdigit((unsigned char)text[0]) || text[0] == '.';
    *rest = plain && isfinite(number) && !strpbrk(text, "xX") ? end : NULL;
    if (!*rest) return 0;
    while (**rest == ' ') ++*rest;
    double unit = strncmp(*rest, "in", 2) == 0 ? 0.0254 : 0.01;
    if (unit > 0.01 || strncmp(*rest, "cm", 2) == 0) *rest += 2;
    return number * unit;
}

static int read_lengths(value *out, const option *o, const char *text, int count) {
    const char *rest = text;
    for (int i = 0; i < count; i++) {
        out->length[i] = length_at(rest, &rest);
        if (!rest || *rest != (i < count - 1 ? ',' : '\0')) return bad_value(o, text);
        if (out->length[i] < o->low * 0.01 - 1e-12 || out->length[i] > o->high * 0.01 + 1e-12)
            return complain(EXIT_USAGE, o->help, "--%s is from %g to %g cm, not %s", o->name, o->low, o->high,
                            text);
        rest++;
    }
    return EXIT_FINE;
}

/* A plain decimal number at the start of text; *rest is where it ends, NULL where there is none. */
static double number_at(const char *text, const char **rest) {
    char *end;
    double number = strtod(text, &end);
    const char *first = text + (text[0] == '-');
    bool plain = isdigit((unsigned char)first[0]) || first[0] == '.';
    *rest = plain && isfinite(number) && !strpbrk(text, "xX") ? end : NULL;
    return number;
}

static int read_numbers(value *out, const option *o, const char *text, int count) {
    const char *rest = text;
    for (int i = 0; i < count; i++) {
        out->number[i] = number_at(rest, &rest);
        if (!rest || *rest != (i < count - 1 ? ',' : '\0')) return bad_value(o, text);
        if (out->number[i] < o->low || out->number[i] > o->high)
            return complain(EXIT_USAGE, o->help, "--%s is from %g to %g, not %s", o->name, o->low, o->high,
                            text);
        rest++;
    }
    return EXIT_FINE;
}

static int read_word(value *out, const option *o, const char *text) {
    int n = 0;
    for (; o->words[n]; n++)
        if (strcmp(o->words[n], text) == 0) {
            out->word = n;
            return EXIT_FINE;
        }
    const char *nearest = nearest_word(text, o->words, n);
    if (nearest)
        return complain(EXIT_USAGE, NULL, "--%s takes %s, not \"%s\"; the nearest is %s", o->name,
                        o->argument, text, nearest);
    return bad_value(o, text);
}

static int two_digits(const char *text) { return 10 * (text[0] - '0') + text[1] - '0'; }

static bool is_date(const char *text) {
    static const char form[] = "0000-00-00";
    static const int days[] = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    if (strlen(text) != strlen(form)) return false;
    for (int i = 0; form[i]; i++)
        if (form[i] == '0' ? !isdigit((unsigned char)text[i]) : text[i] != form[i]) return false;
    int month = two_digits(text + 5), day = two_digits(text + 8);
    return month >= 1 && month <= 12 && day >= 1 && day <= days[month - 1];
}

static int read_value(value *out, const option *o, const char *text) {
    out->text = text;
    switch (o->kind) {
    case OPTION_FLAG:
        return EXIT_FINE;
    case OPTION_FILE:
    case OPTION_TEXT:
        return text[0] ? EXIT_FINE : bad_value(o, text);
    case OPTION_WHOLE:
        return read_whole(out, o, text);
    case OPTION_NUMBER:
        return read_numbers(out, o, text, 1);
    case OPTION_NUMBERS:
        return read_numbers(out, o, text, 3);
    case OPTION_LENGTH:
        return read_lengths(out, o, text, 1);
    case OPTION_LENGTHS:
        return read_lengths(out, o, text, 3);
    case OPTION_WORD:
        return read_word(out, o, text);
    case OPTION_DATE:
        return is_date(text) ? EXIT_FINE : bad_value(o, text);
    }
    return EXIT_USAGE;
}

/* Reads the value of option i: what follows the = in words[*at], or else the next word. */
static int take_option(arguments *out, const command *cmd, int i, const char *equals, int count, char **words,
                       int *at) {
    const option *o = &cmd->options[i];
    if (out->value[i].given) return complain(EXIT_USAGE, "Give it once.", "--%s is given twice", o->name);
    out->value[i].given = true;
    if (o->kind == OPTION_FLAG && equals)
        return complain(EXIT_USAGE, "Leave out what follows the =.", "--%s takes no value", o->name);
    if (o->kind == OPTION_FLAG || equals) return read_value(&out->value[i], o, equals ? equals + 1 : "");
    if (*at + 1 >= count)
        return complain(EXIT_USAGE, o->help, "--%s needs %s after it", o->name, o->argument);
    return read_value(&out->value[i], o, words[++*at]);
}

/* Reads words[*at], an option, and its value, which may be the next word. */
static int read_option(arguments *out, const command *cmd, int count, char **words, int *at) {
    const char *name = words[*at] + 2, *equals = strchr(name, '=');
    size_t length = equals ? (size_t)(equals - name) : strlen(name);
    int i = option_find(cmd, name, length);
    if (i < 0) return unknown_option(cmd, name, length);
    return take_option(out, cmd, i, equals, count, words, at);
}

static int check_operands(const arguments *out, const command *cmd) {
    char usage[160];
    snprintf(usage, sizeof usage, "Usage: lengthwise %s%s%s; lengthwise %s --help says more.", cmd->name,
             cmd->operands[0] ? " " : "", cmd->operands, cmd->name);
    if (out->operand_count < cmd->operands_least)
        return complain(EXIT_USAGE, usage, "%s needs %s", cmd->name, cmd->operands);
    if (out->operand_count > cmd->operands_most)
        return complain(EXIT_USAGE, usage, "%s: \"%s\" is more than it takes", cmd->name,
                        out->operand[cmd->operands_most]);
    return EXIT_FINE;
}

int arguments_parse(arguments *out, const command *cmd, int count, char **words, bool *help) {
    *out = (arguments){0};
    *help = false;
    bool options = true;
    for (int i = 0; i < count; i++) {
        const char *word = words[i];
        if (options && strcmp(word, "--") == 0) {
            options = false;
        } else if (options && (strcmp(word, "--help") == 0 || strcmp(word, "-h") == 0)) {
            *help = true;
            return EXIT_FINE;
        } else if (options && strncmp(word, "--", 2) == 0) {
            int code = read_option(out, cmd, count, words, &i);
            if (code) return code;
        } else if (options && word[0] == '-' && letter_find(cmd, word) >= 0) {
            int code = take_option(out, cmd, letter_find(cmd, word), NULL, count, words, &i);
            if (code) return code;
        } else if (options && word[0] == '-' && word[1]) {
            return complain(EXIT_USAGE, "Options are written out, such as --help.", "%s has no option %s",
                            cmd->name, word);
        } else if (out->operand_count < OPERANDS_MAX) {
            out->operand[out->operand_count++] = word;
        } else {
            return complain(EXIT_USAGE, NULL, "%s: too many words", cmd->name);
        }
    }
    return check_operands(out, cmd);
}
