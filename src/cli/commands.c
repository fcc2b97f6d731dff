/* All commands, in the order in which the help lists them. To add one: its file, and a row here. */
#include <string.h>

#include "command.h"

extern const command command_predict, command_head, command_compare, command_sheet, command_export,
    command_strand, command_picture, command_book, command_serve, command_explain, command_schema,
    command_fields, command_help, command_version, command_manual, command_completion;

const command *const commands[] = {
    &command_predict,
    &command_head,
    &command_compare,
    &command_sheet,
    &command_picture,
    &command_export,
    &command_book,
    &command_serve,
    &command_strand,
    &command_explain,
    &command_schema,
    &command_fields,
    &command_help,
    &command_version,
    &command_manual,
    &command_completion,
    NULL,
};

const command *command_find(const char *name) {
    for (int i = 0; commands[i]; i++)
        if (strcmp(commands[i]->name, name) == 0) return commands[i];
    return NULL;
}
