/* Lending handles of the book. Reads of one do not wait for those of another, and writers wait for each other
 * in the book itself; so a few are enough for any number of threads. */
#include "handles.h"

#include <pthread.h>
#include <stdlib.h>

#include "fail.h"

enum { HANDLES = 6 };

struct handles {
    pthread_mutex_t lock;
    pthread_cond_t given;
    book *first; /* the one that was checked; the others are opened by its path */
    book *free[HANDLES];
    int free_count, opened;
};

lw_status handles_open(handles **out, const char *path, lw_error *error) {
    book_options how = book_default();
    how.create = true;
    *out = calloc(1, sizeof **out);
    if (!*out) return fail_memory(error, "book");
    lw_status status = book_open(&(*out)->first, path, &how, error);
    if (status) {
        free(*out);
        *out = NULL;
        return status;
    }
    pthread_mutex_init(&(*out)->lock, NULL);
    pthread_cond_init(&(*out)->given, NULL);
    (*out)->free[0] = (*out)->first;
    (*out)->free_count = (*out)->opened = 1;
    return LW_OK;
}

static lw_status open_another(book **out, handles *s, lw_error *error) {
    book_options how = book_default();
    how.unchecked = true;
    lw_status status = book_open(out, book_file(s->first), &how, error);
    if (status == LW_OK) return LW_OK;
    pthread_mutex_lock(&s->lock);
    s->opened--;
    pthread_cond_signal(&s->given);
    pthread_mutex_unlock(&s->lock);
    return status;
}

lw_status handles_take(book **out, handles *s, lw_error *error) {
    *out = NULL;
    pthread_mutex_lock(&s->lock);
    while (s->free_count == 0 && s->opened == HANDLES) pthread_cond_wait(&s->given, &s->lock);
    if (s->free_count > 0)
        *out = s->free[--s->free_count];
    else
        s->opened++;
    pthread_mutex_unlock(&s->lock);
    return *out ? LW_OK : open_another(out, s, error);
}

void handles_give(handles *s, book *b) {
    pthread_mutex_lock(&s->lock);
    s->free[s->free_count++] = b;
    pthread_cond_signal(&s->given);
    pthread_mutex_unlock(&s->lock);
}

const char *handles_path(const handles *s) { return book_file(s->first); }

void handles_close(handles *s) {
    if (!s) return;
    for (int i = 0; i < s->free_count; i++) book_close(s->free[i]);
    pthread_cond_destroy(&s->given);
    pthread_mutex_destroy(&s->lock);
    free(s);
}
