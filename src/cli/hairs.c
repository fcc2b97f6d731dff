/* CSV (RFC 4180, but with line feeds): one row a hair, in metres, exact to the bit: 17 significant digits
 * name one double. */
#include "hairs.h"

#include <string.h>

#include "files.h"

/* Quoted where commas, quotes or line ends would be taken for the table's own. */
static void csv_text(FILE *to, const char *s) {
    if (!strpbrk(s, ",\"\r\n")) {
        fputs(s, to);
        return;
    }
    fputc('"', to);
    for (; *s; s++) {
        if (*s == '"') fputc('"', to);
        fputc(*s, to);
    }
    fputc('"', to);
}

static void vector(FILE *to, lw_vec3 v) { fprintf(to, ",%.17g,%.17g,%.17g", v.x, v.y, v.z); }

/* How long it is in the hand and where its end was held; nothing where no panel cut it. */
static void held(FILE *to, const lw_cut *cut, int i) {
    lw_vec3 end;
    if (lw_cut_held_end(&end, cut, i)) {
        const lw_panel *panel = lw_cut_panel(cut, lw_cut_set_by(cut)[i]);
        fprintf(to, ",%.17g", lw_cut_lengths(cut)[i] / panel->factor);
        vector(to, end);
    } else {
        fputs(",,,,", to);
    }
}

static void tip(FILE *to, const lw_strands *s, int i) {
    vector(to, s->at[(size_t)(i + 1) * (size_t)s->nodes - 1]);
}

static void hair(FILE *to, const prediction *p, int i) {
    double length = lw_cut_lengths(p->cut)[i];
    fprintf(to, "%d", i);
    vector(to, lw_scalp_root(p->scalp, i));
    vector(to, lw_scalp_normal(p->scalp, i));
    fputc(',', to);
    int section = lw_cut_sections(p->cut)[i], panel = lw_cut_set_by(p->cut)[i];
    if (section >= 0) csv_text(to, lw_cut_section(p->cut, section)->name);
    if (panel >= 0)
        fprintf(to, ",%d,%d,", lw_cut_panel(p->cut, panel)->step, lw_cut_panel(p->cut, panel)->panel);
    else
        fputs(",,,", to);
    fprintf(to, "%.17g,%.17g,%.17g", length, lw_cut_before(p->cut)[i], lw_hair_lies(&p->plan.hair, length));
    held(to, p->cut, i);
    tip(to, lw_fall_strands(p->fall), i);
    fputc('\n', to);
}

int hairs_write(const prediction *p, const char *path) {
    output out;
    int code = output_open(&out, path);
    if (code) return code;
    fputs("hair,x,y,z,nx,ny,nz,section,step,panel,length,before,lies,held,end_x,end_y,end_z,"
          "tip_x,tip_y,tip_z\n",
          out.stream);
    int count = lw_scalp_count(p->scalp);
    for (int i = 0; i < count && !ferror(out.stream); i++) hair(out.stream, p, i);
    return output_finish(&out);
}
