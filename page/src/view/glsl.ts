// What runs on the graphics processor. Lamps stand still for the viewer, not for the head, so that every side is lit alike.
// Light at hair follows the same papers as the program's pictures (src/draw/hair_shine.c): Marschner and others 2003 for what
// glances off, goes through and comes back, Kajiya and Kay 1989 for the rest; shadow is followed through a grid of hair and
// head (after Kniss and others 2003, "A model for volume lighting and modeling", from memory) once for each node.

import { SURFACE_WIDE } from '../core/messages'

const LAMPS = /* glsl */ `
uniform vec3 seenRight, seenUp, seenToward;
const vec3 KEY = vec3(-.601, .621, .501), FILL = vec3(.804, .1, .583), RIM = vec3(.621, .42, -.661);
const vec3 KEY_LIGHT = vec3(1.55, 1.47, 1.36), RIM_LIGHT = vec3(.3, .32, .35);
const vec3 ABOVE = vec3(.33, .345, .37), BELOW = vec3(.13, .12, .11);
vec3 fromSeen(vec3 v) { return seenRight * v.x + seenUp * v.y + seenToward * v.z; }
vec3 toSeen(vec3 v) { return vec3(dot(v, seenRight), dot(v, seenUp), dot(v, seenToward)); }
`

const AIR = /* glsl */ `
uniform sampler3D air;
uniform vec3 airLow, airSize;
vec2 airAt(vec3 p) { // hairs a metre, metres from the bust
  vec2 a = texture(air, (p - airLow) / airSize).rg;
  return vec2(a.x * 4000., (a.y * 2. - 1.) * .064);
}
// Hairs on the way, and how much of a lamp of some width the head lets past.
vec2 follow(vec3 p, vec3 way, float most) { // most: hairs that one step may count for, since steps grow
 
  float depth = 0., past = 1., t = .004;
  for (int i = 0; i < 6; i++) {
    float next = t * 1.75 + .001;
    vec2 a = airAt(p + way * (t + next) * .5);
    depth += min(a.x * (next - t), most);
    past = min(past, .5 + 2.2 * a.y / next);
    t = next;
  }
  return vec2(depth, smoothstep(0., 1., past));
}
`

const HASH = /* glsl */ `
uint stir(uint x) { x ^= x >> 16; x *= 0x7feb352du; x ^= x >> 15; x *= 0x846ca68bu; return x ^ (x >> 16); }
float lot(inout uint s) { s = stir(s + 0x9e3779b9u); return float(s >> 8) / 16777216.; }
`

const NODES = /* glsl */ `
precision highp isampler2D;
uniform isampler2D nodes;
uniform float reach;
vec3 nodeOf(int hair, int k) { return vec3(texelFetch(nodes, ivec2((hair & 31) * 32 + k, hair >> 5), 0).xyz) * (reach / 32767.); }
`

const HEAD = 'precision highp float;\nprecision highp int;\nprecision highp sampler2D;\nprecision highp sampler3D;\n'

export const wholeVertex = `${HEAD}
in vec3 position;
out vec2 at;
void main() { at = position.xy * .5 + .5; gl_Position = vec4(position.xy, 0., 1.); }
`

// ---- light at every node: large lamp, sky, weak lamp, lamp behind ----

export const nodeLight = `${HEAD}${LAMPS}${AIR}${NODES}
out vec4 result; // what glances off, what is sent back, what comes through, how open it lies to the sky
uniform vec3 centre;
float bell(float x, float w) { float u = x / w; return exp(-.5 * u * u); }
void main() {
  ivec2 at = ivec2(gl_FragCoord.xy);
  int hair = at.y * 32 + (at.x >> 3), k = at.x & 7, n = min(30, k * 30 / 7);
  vec3 p = nodeOf(hair, n), a = k == 0 ? p : nodeOf(hair, n - 1), b = k == 7 ? p : nodeOf(hair, n + 1);
  vec3 away = p - centre;
  away.y = max(away.y, 0.);
  away = normalize(away + vec3(0., 1e-5, 0.));
  vec3 t = b - a;
  float len = length(t);
  vec3 along = toSeen(len > 1e-7 ? t / len : away);
  float deep = 0.;
  for (int i = 0; i < 4; i++) deep += airAt(p + away * (.003 + .0085 * float(i))).x * .0085;
  float open = exp(-.10 * deep) * clamp(.25 + airAt(p + away * .03).y / .03, .15, 1.);
  // The weak lamp is as wide as the sky; the one behind is followed in two steps.
  vec3 behind = fromSeen(RIM);
  vec2 one = airAt(p + behind * .015), two = airAt(p + behind * .05);
  vec2 rim = vec2(one.x * .03 + two.x * .04, smoothstep(0., 1., .5 + 2.2 * min(one.y / .02, two.y / .06)));
  vec2 lamp[3] = vec2[3](follow(p, fromSeen(KEY), 9.), vec2(deep, 1.), rim);
  float sinEye = along.z, cosEye = sqrt(max(1e-4, 1. - sinEye * sinEye));
  vec3 sum = vec3(0.);
  for (int i = 0; i < 3; i++) {
    vec3 toward = i == 0 ? KEY : i == 1 ? FILL : RIM;
    float reach = (i == 0 ? 1.5 : i == 1 ? .28 : .34) * exp((i == 0 ? -.34 : -.2) * lamp[i].x) * lamp[i].y;
    float sinLamp = dot(along, toward), cosLamp = sqrt(max(1e-4, 1. - sinLamp * sinLamp));
    float around = clamp((toward.z - sinLamp * sinEye) / (cosLamp * cosEye), -1., 1.);
    float halfway = .5 * (asin(clamp(sinLamp, -1., 1.)) + asin(clamp(sinEye, -1., 1.)));
    float front = sqrt(.5 + .5 * around);
    float slant = sqrt(max(0., .5 + .5 * (cosLamp * cosEye * around + sinLamp * sinEye)));
    float g = 1. - min(1., slant), glance = .05 + .35 * g * g * g * g * g;
    float off = 2.4 * glance * front * bell(halfway + .09, .1);
    float back = .1 * front * front * bell(halfway - .13, .24);
    float through = .9 * bell(halfway - .05, .10) * exp(-4.5 * (1. + around));
    sum += reach * vec3(cosLamp * off, .55 * cosLamp + .25 * cosLamp * (1. + around), cosLamp * (back + through));
  }
  result = vec4(sum, open);
}
`

// ---- hair ----

export const hairVertex = `${HEAD}${LAMPS}${NODES}${HASH}
in float node;
in float side;
in vec4 self; // its number, tint, lock, length
in vec4 beside;
in vec2 tone; // how wide, how pale
in vec2 coil; // radius, radians a metre
uniform sampler2D light, palette;
uniform mat4 projectionMatrix, viewMatrix;
uniform vec3 eye, centre;
uniform vec2 jitter;
uniform float wide, least, spread, stray;
uniform int each, round;
uniform float stride;
uniform vec3 castLow, castHigh, onceLow, onceHigh;
uniform vec3 lengths; // share of the colour, shortest, longest
uniform vec3 paler; // what pale hair fades to
uniform float ground;
out vec4 colour;

vec3 course(int hair, float n) {
  int k = min(29, int(n));
  return mix(nodeOf(hair, k), nodeOf(hair, k + 1), n - float(k));
}
struct Bend { vec3 aside, other; vec2 offset, lean; float lift, size, phase, pitch; };
vec3 bent(vec3 p, float s, float way, Bend b) {
  float rise = min(1., s / .012);
  float swing = b.size * min(1., s / .05) * sin(6.2832 * s / b.pitch + b.phase);
  vec2 a = b.offset + clamp(b.lean * s, -.002, .002);
  vec3 o = p - centre; o.y = max(o.y, 0.); o = normalize(o + vec3(0., 1e-5, 0.));
  return p + b.aside * (a.x + swing) + b.other * a.y + o * (b.lift * rise + .3 * abs(swing));
}

void main() {
  int hair = int(self.x), child = gl_InstanceID % each + each * round;
  uint s = stir(uint(hair) * 0x9e3779b9u + uint(child) * 0x85ebca6bu + 7u);
  float pick = lot(s), toward = spread * .5 * lot(s) * (coil.x > 0. ? .2 : 1.);
  int other = int(pick < .25 ? beside.x : pick < .5 ? beside.y : pick < .75 ? beside.z : beside.w);
  bool last = node > 29.99;
  float k0 = last ? node - stride : node, k1 = k0 + stride;
  vec3 root = nodeOf(hair, 0);
  vec3 a = mix(course(hair, k0), course(other, k0), toward), b = mix(course(hair, k1), course(other, k1), toward);
  Bend d;
  vec3 o = normalize(root - centre);
  d.aside = normalize(cross(vec3(0., 1., .02), o));
  d.other = cross(o, d.aside);
  float turn = 6.2832 * lot(s), r = spread * .0011 * sqrt(lot(s));
  d.offset = r * vec2(cos(turn), sin(turn)) * (coil.x > 0. ? .45 : 1.);
  float up = lot(s);
  d.lift = stray * min(.0012 * up * up + .0008 * self.z, .1 * self.w);
  d.lean = stray * .014 * vec2(lot(s) + lot(s) - 1., lot(s) + lot(s) - 1.);
  d.size = stray * (.0008 * (2. * lot(s) - 1.) + .0011 * (2. * self.z - 1.));
  d.phase = 6.2832 * fract(self.z * 17.) + 1.5 * lot(s);
  d.pitch = .05 + .06 * fract(self.z * 5.);
  float trim = lot(s), tint = fract(self.y + .55 * lot(s));
  float w0 = k0 / 30., w1 = k1 / 30.;
  a = bent(a, self.w * w0, w0, d);
  b = bent(b, self.w * w1, w1, d);
  if (coil.x > 0.) { // a helix round the line, which opens out at the root; hairs of a lock wind in step
    vec3 line = normalize(b - a + vec3(0., 1e-7, 0.)), u = normalize(cross(line, o)), v = cross(line, u);
    float radius = coil.x * (.75 + .5 * self.z) * (1. + .15 * (tint - .5)), start = 6.2832 * fract(self.z * 31.) + .3 * (tint - .5);
    float turns = coil.y * (.85 + .3 * fract(self.z * 13.));
    float lies = length(course(hair, 1.) - root) * 30.; // of the middle line, about
    vec2 s = lies * vec2(w0, w1), angle = turns * s + start, open = min(vec2(1.), s * abs(turns) / 8.);
    a += radius * open.x * (u * cos(angle.x) + v * sin(angle.x) + o);
    b += radius * open.y * (u * cos(angle.y) + v * sin(angle.y) + o);
  }
  b = mix(b, a, k1 > 29.99 ? min(.5, stray * trim * trim * .004 / max(1e-4, self.w / 15.)) : 0.);
  vec3 p = last ? b : a, t = b - a;
  float len = length(t);
  t = len > 1e-7 ? t / len : o;
  float way = node / 30.;
  vec3 sight = eye - p;
  float far = length(sight);
  vec3 across = cross(t, sight / far);
  float al = length(across);
  across = al > 1e-4 ? across / al : seenRight;
  float half_ = max(.5 * wide * tone.x * (1. - .72 * smoothstep(.72, 1., way)), .5 * least * far * min(1., 4. * tone.x));
  vec3 q = p + across * half_ * side * step(1e-6, len) * step(.004, tone.x);
  gl_Position = projectionMatrix * viewMatrix * vec4(q, 1.);
  gl_Position.xy += jitter * gl_Position.w;

  // light
  float ln = node * (7. / 30.);
  ivec2 la = ivec2((hair & 31) * 8 + int(ln), hair >> 5);
  vec4 l = mix(texelFetch(light, la, 0), texelFetch(light, la + ivec2(last ? 0 : 1, 0), 0), fract(ln));
  if (coil.x > 0.) { // round a coil light comes and goes
    float sinLamp = dot(toSeen(t), KEY), sinEye = dot(t, sight / far);
    l.xyz *= vec3(.25 + 1.6 * exp(-6. * (sinLamp + sinEye) * (sinLamp + sinEye)), .35 + .75 * sqrt(max(0., 1. - sinLamp * sinLamp)), .8);
  }
  float open = l.w * mix(.72, 1., up * up); // hair that lies lower among its neighbours
  float shade = .42 + .36 * tint + .22 * self.z;
  vec3 body = mix(castLow, castHigh, shade), once = mix(onceLow, onceHigh, shade);
  const vec3 warm = vec3(1.055, 1., .925);
  vec3 sum = warm * (l.x * (.45 + 1.1 * fract(tint * 97.)) + l.y * body + l.z * once * sqrt(once));
  vec3 sky = .5 * (ABOVE + BELOW) + .12 * ABOVE;
  sum += 1.5 * (.08 + .92 * open) * sky * (body + .008);
  vec3 map = texture(palette, vec2(clamp((self.w - lengths.y) / max(1e-4, lengths.z - lengths.y), 0., 1.) * (17. / 18.) + .5 / 18., .5)).rgb;
  float lit = .66 + .20 * min(1., l.y) + .18 * open + .10 * (tint - .5);
  sum = mix(sum, map * lit, lengths.x);
  sum = mix(sum, paler * (.55 + .45 * open), tone.y);
  colour = vec4(sum, 1.) * smoothstep(ground, ground + .05, p.y);
}
`

export const hairFragment = `${HEAD}
in vec4 colour;
out vec4 result;
void main() { result = colour; }
`

// ---- the bust: light at every vertex, then the picture ----

export const bustLight = `${HEAD}${LAMPS}${AIR}
out vec4 result; // large lamp, sky, what hair before it lets through
uniform sampler2D points, normals; // with how open it lies
void main() {
  ivec2 at = ivec2(gl_FragCoord.xy);
  vec4 point = texelFetch(points, at, 0);
  vec3 normal = texelFetch(normals, at, 0).xyz;
  vec2 key = follow(point.xyz + normal * .004, fromSeen(KEY), 2.2);
  float open = 1., deep = 0.;
  for (int i = 0; i < 4; i++) {
    float t = .008 * exp2(float(i) * .85);
    vec2 a = airAt(point.xyz + normal * t);
    open = min(open, .35 + .65 * clamp(a.y / t, 0., 1.));
    deep += a.x * t * .6;
  }
  float bare = exp(-.10 * deep);
  result = vec4(mix(.1, 1., exp(-.30 * key.x)) * key.y, open * mix(.45, 1., point.w) * bare, bare, 1.);
}
`

export const bustVertex = `${HEAD}${LAMPS}
uniform sampler2D points, normals, light;
uniform mat4 projectionMatrix, viewMatrix;
uniform vec2 jitter;
out vec3 facing;
out vec4 reach; // large lamp, sky, hair before it, roots
out float height;
void main() {
  ivec2 at = ivec2(gl_VertexID % ${SURFACE_WIDE}, gl_VertexID / ${SURFACE_WIDE});
  vec3 position = texelFetch(points, at, 0).xyz;
  vec4 normal = texelFetch(normals, at, 0);
  facing = toSeen(normal.xyz);
  reach = vec4(texelFetch(light, at, 0).xyz, normal.w);
  height = position.y;
  gl_Position = projectionMatrix * viewMatrix * vec4(position, 1.);
  gl_Position.xy += jitter * gl_Position.w;
}
`

export const bustFragment = `${HEAD}${LAMPS}
in vec3 facing;
in vec4 reach;
in float height;
out vec4 result;
uniform vec3 skin, roots;
uniform float grown, ground;
float falls(vec3 n, vec3 lamp, float wrap) { return max(0., (dot(n, lamp) + wrap) / (1. + wrap)); }
vec3 bounced(float open, vec3 albedo) {
  vec3 a = 2.0404 * albedo - .3324, b = -4.7951 * albedo + .6417, c = 2.7552 * albedo + .6903;
  return max(vec3(open), ((open * a + b) * open + c) * open);
}
void main() {
  vec3 n = normalize(facing);
  vec3 body = mix(skin, roots, clamp(reach.w * grown, 0., 1.));
  float key = clamp(reach.x, 0., 1.), sky = clamp(reach.y, 0., 1.), around = reach.z * reach.z;
  vec3 open = bounced(sky, body);
  vec3 sum = mix(BELOW, ABOVE, .5 + .5 * n.y) * open;
  sum += KEY_LIGHT * pow(falls(n, KEY, .15), 1.4) * (.08 * sky + .92 * key);
  sum += vec3(.15, .165, .19) * open * falls(n, FILL, .3);
  sum += RIM_LIGHT * open * around * falls(n, RIM, .1);
  vec3 c = body * sum;
  float gloss = .07 * pow(max(0., dot(n, normalize(KEY + vec3(0., 0., 1.)))), 24.) * key;
  float edge = .1 * pow(1. - clamp(n.z, 0., 1.), 4.) * sky * around;
  c += vec3(1., .98, .95) * (gloss + edge);
  result = vec4(c, 1.) * smoothstep(ground, ground + .085, height);
}
`

// ---- the bust as what hides lines behind it ----

export const solidVertex = `${HEAD}
in vec3 position;
uniform mat4 projectionMatrix, viewMatrix;
void main() { gl_Position = projectionMatrix * viewMatrix * vec4(position, 1.); }
`

export const solidFragment = `${HEAD}
out vec4 result;
void main() { result = vec4(0.); }
`

// ---- pictures one after another become one ----

export const meanFragment = `${HEAD}
in vec2 at;
out vec4 result;
uniform sampler2D before, now;
uniform float share;
void main() { result = mix(texture(before, at), texture(now, at), share); }
`

export const showFragment = `${HEAD}
in vec2 at;
out vec4 result;
uniform sampler2D picture, over;
uniform float bright, overlaid;
void main() {
  vec4 p = texture(picture, at);
  vec3 c = bright * p.rgb / max(p.a, 1e-4);
  c = mix(c, 1. - .4 * exp((.6 - c) / .4), step(.6, c));
  c = mix(12.92 * c, 1.055 * pow(max(c, 0.), vec3(1. / 2.4)) - .055, step(.0031308, c));
  vec4 o = overlaid > 0. ? texture(over, at) : vec4(0.);
  result = vec4(c * p.a, p.a) * (1. - o.a) + o;
}
`

export const lineVertex = `${HEAD}
in vec2 corner; // along, across
in vec3 from, to;
in vec4 ink;
uniform mat4 projectionMatrix, viewMatrix;
uniform vec2 frame;
uniform float wide;
out vec4 colour;
out float aside;
void main() {
  vec4 a = projectionMatrix * viewMatrix * vec4(from, 1.), b = projectionMatrix * viewMatrix * vec4(to, 1.);
  vec2 way = b.xy / b.w - a.xy / a.w;
  way *= frame;
  float n = length(way);
  way = n > 1e-4 ? way / n : vec2(1., 0.);
  vec4 p = mix(a, b, corner.x);
  float half_ = wide * .5 + .75;
  vec2 off = (vec2(-way.y, way.x) * corner.y + way * (corner.x * 2. - 1.) * .35) * half_ / frame * 2.;
  p.xy += off * p.w;
  colour = ink;
  aside = corner.y * half_;
  gl_Position = p;
}
`

export const lineFragment = `${HEAD}
in vec4 colour;
in float aside;
out vec4 result;
uniform float wide;
void main() {
  float a = colour.a * clamp(wide * .5 + .5 - abs(aside), 0., 1.);
  result = vec4(colour.rgb * a, a);
}
`

export const plainFragment = `${HEAD}
out vec4 result;
void main() { result = vec4(0.); }
`
