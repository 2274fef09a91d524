/* The heat and water of one bed as a system of ordinary differential equations,
   given to SUNDIALS CVODE: the same equations that package bed steps with its own
   scheme (docs/model/bed.md B2 to B6, B13 to B18), for a bed without worms and
   with air enough. State of each layer: temperature [C], water [kg/m2], rotting
   matter [kg/m2]; one more for the slab under the bin. Variable-order BDF with a
   banded Jacobian by difference quotients, restarted where the air jumps from
   hour to hour and where water is poured. The equations, the beginning and the
   pouring are functions of a library too, which lsoda.py gives to LSODA.

   Reads numbers by name and the hourly air from standard input, runs at each
   relative tolerance named on the command line, and prints for each the processor
   time of a run, its steps and the state at the end.

   Build: cc -O2 column.c -lsundials_cvode -lsundials_nvecserial
          -lsundials_sunmatrixband -lsundials_sunlinsolband -lm */
#include <cvode/cvode.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sunlinsol/sunlinsol_band.h>
#include <sunmatrix/sunmatrix_band.h>
#include <time.h>

#define MOST 64
#define EACH 3

static int layers, hours;
static double *airC, *airRH;
static struct { char name[64]; double value; } given[128];
static int givens;

static double get(const char *name) {
  for (int i = 0; i < givens; i++)
    if (!strcmp(given[i].name, name)) return given[i].value;
  fprintf(stderr, "no value is given for %s\n", name);
  exit(1);
}

static double share, dryHeat, oxygenHeat, perMatter, airU, coverU, permeance, gap, leak, airH, holdsSlow, holdsAsh,
    drain, spread, drySurface, metabolic, rate, rateAt, minC, bestC, maxC, moistSlope, moistStart, organic, ashDensity,
    airDrained, floorU, floorDays, wallU, perimeter, area, vapour0, vapourPower, ash0, slow0, dz0, water0, temp0, poured, pouredEach;

static const double waterHeat = 4186, rv = 461.52, rd = 287.042, lewis = 0.865, still = 0.026, near = 5.1;

static double saturation(double c) { /* [Pa], over water; Hyland and Wexler */
  double t = c + 273.15;
  if (c < 0)
    return exp(-5674.5359 / t + 6.3925247 - 9.677843e-3 * t + 6.2215701e-7 * t * t + 2.0747825e-9 * t * t * t -
               9.484024e-13 * t * t * t * t + 4.1635019 * log(t));
  return exp(-5800.2206 / t + 1.3914993 - 4.8640239e-2 * t + 4.1764768e-5 * t * t - 1.4452093e-8 * t * t * t + 6.5459673 * log(t));
}
static double density(double c) { return saturation(c) / (rv * (c + 273.15)); }
static double rosso(double t) {
  if (t <= minC || t >= maxC) return 0;
  double a = bestC - minC, b = t - minC;
  double f = (t - maxC) * b * b / (a * (a * (t - bestC) - (bestC - maxC) * (bestC + minC - 2 * t)));
  return f < 0 ? 0 : f;
}

typedef struct { double air, rh; } Hour;

static double holds(double s) { /* water that a layer holds [kg/m2] */
  double dz = dz0 * (s + ash0) / (slow0 + ash0), hold = s * holdsSlow + ash0 * holdsAsh;
  double room = (dz * (1 - airDrained) - s / organic - ash0 / ashDensity) * 1000;
  return room < hold ? room : hold;
}

/* Poured water runs at once through layers that are full and mixes its heat. */
void pour(double *v, double water, double c) {
  for (int i = layers - 1; i >= 0; i--) {
    double *t = v + EACH * i, *w = t + 1, cap = (t[2] + ash0) * dryHeat + *w * waterHeat;
    *t = (cap * *t + water * waterHeat * c) / (cap + water * waterHeat);
    *w += water;
    double keep = holds(t[2]);
    if (*w - water > keep) keep = *w - water;
    double over = *w - keep;
    if (over <= 0 || i == 0) return;
    *w -= over, water = over, c = *t;
  }
}

/* How fast the state y changes in the air of an hour. */
void rates(double air, double rh, const double *y, double *d) {
  double dz[MOST], k[MOST], cap[MOST], hold[MOST], sat[MOST], dw[MOST], dt[MOST];
  double floorC = y[EACH * layers];
  for (int i = 0; i < layers; i++) {
    double t = y[EACH * i], w = y[EACH * i + 1], s = y[EACH * i + 2], dry = s + ash0;
    dz[i] = dz0 * dry / (slow0 + ash0);
    double solid = (s / organic + ash0 / ashDensity) / dz[i], phi = 1 - solid, theta = w / (1000 * dz[i]), eps = phi - theta;
    if (eps < 0.01) eps = 0.01;
    k[i] = share * (theta * 0.59 + solid * 0.25 + eps * 0.025);
    cap[i] = dry * dryHeat + w * waterHeat;
    hold[i] = holds(s);
    sat[i] = w / hold[i];
    double rot = t > 0 ? rate / 86400 * rosso(t) / rosso(rateAt) / (1 + exp(-moistSlope * (w / (dry + w)) + moistStart)) * s : 0;
    d[EACH * i + 2] = -rot;
    dw[i] = metabolic * rot;
    dt[i] = oxygenHeat * 1e6 * perMatter * rot - wallU * perimeter / area * dz[i] * (t - air);
  }
  for (int i = 1; i < layers; i++) {
    double q = (y[EACH * i] - y[EACH * (i - 1)]) * 2 / (dz[i] / k[i] + dz[i - 1] / k[i - 1]);
    dt[i] -= q;
    dt[i - 1] += q;
    double a = sat[i] > 1 ? 1 : sat[i], b = sat[i - 1] > 1 ? 1 : sat[i - 1], m = 0.5 * (a + b);
    double flow = spread / 86400 * m * m / (0.5 * (dz[i] + dz[i - 1])) * (sat[i] - sat[i - 1]); /* down */
    double over = y[EACH * i + 1] - hold[i];
    double down = over > 0 ? over / drain : 0;
    dw[i] -= flow + down;
    dw[i - 1] += flow + down;
    /* water carries its heat into the layer that takes it */
    double into = down + (flow > 0 ? flow : 0);
    dt[i - 1] += waterHeat * into * (y[EACH * i] - y[EACH * (i - 1)]);
    if (flow < 0) dt[i] += waterHeat * -flow * (y[EACH * (i - 1)] - y[EACH * i]);
  }
  double over = y[1] - hold[0];
  if (over > 0) dw[0] -= over / drain;
  dt[0] -= (y[0] - floorC) / (1 / floorU + dz[0] / (2 * k[0]));
  /* the surface: sensible and latent heat through the cover balance what comes up */
  int n = layers - 1;
  double t = y[EACH * n], w = y[EACH * n + 1], kelvin = t + 273.15, p = 101325;
  double film = airH / (p / (rd * kelvin) * 1006 * pow(lewis, 2.0 / 3));
  double g = 1 / (1 / film + gap / (vapour0 * pow(kelvin / 273.15, vapourPower)) + 1 / (permeance * rv * kelvin)) + leak;
  double u = 1 / (1 / airU + 1 / (still / gap + near) + 1 / coverU), up = 2 * k[n] / dz[n];
  double wet = w / (hold[n] * drySurface);
  if (wet > 1) wet = 1;
  double latent = (2501 - 2.361 * t) * 1e3, vapour = rh * density(air), skin = t;
  for (int i = 0; i < 20; i++) {
    double e = 1e-3, f = up * (t - skin) - u * (skin - air) - latent * g * wet * (density(skin) - vapour);
    double df = -up - u - latent * g * wet * (density(skin + e) - density(skin - e)) / (2 * e);
    double step = f / df;
    skin -= step;
    if (fabs(step) < 1e-11) break;
  }
  dt[n] -= up * (t - skin);
  dw[n] -= g * wet * (density(skin) - vapour);
  for (int i = 0; i < layers; i++) {
    d[EACH * i] = dt[i] / cap[i];
    d[EACH * i + 1] = dw[i];
  }
  d[EACH * layers] = (air - floorC) / (floorDays * 86400);
}

static int rhs(realtype at, N_Vector yv, N_Vector dv, void *user) {
  (void)at;
  Hour *h = user;
  rates(h->air, h->rh, N_VGetArrayPointer(yv), N_VGetArrayPointer(dv));
  return 0;
}

/* The state with which the bed begins, and by how much each may be off for each
   part of a relative tolerance. */
void begin(double *v, double *off) {
  for (int i = 0; i < layers; i++) {
    v[EACH * i] = temp0, v[EACH * i + 1] = water0, v[EACH * i + 2] = slow0;
    for (int j = 0; j < EACH; j++) off[EACH * i + j] = j ? 1 : 10;
  }
  v[EACH * layers] = airC[0], off[EACH * layers] = 10;
}

/* The air of an hour, and the water poured as it begins [kg/m2]. */
double hour(int i, double *air, double *rh) {
  *air = airC[i], *rh = airRH[i];
  return pouredEach > 0 && i > 0 && i % (int)pouredEach == 0 ? poured : 0;
}

static double run(double rtol, double *end, long *steps) {
  int neq = EACH * layers + 1;
  SUNContext ctx;
  SUNContext_Create(NULL, &ctx);
  N_Vector y = N_VNew_Serial(neq, ctx), atol = N_VNew_Serial(neq, ctx);
  double *v = N_VGetArrayPointer(y), *a = N_VGetArrayPointer(atol);
  begin(v, a);
  for (int i = 0; i < neq; i++) a[i] *= rtol;
  Hour h;
  void *cv = CVodeCreate(CV_BDF, ctx);
  CVodeInit(cv, rhs, 0, y);
  CVodeSVtolerances(cv, rtol, atol);
  CVodeSetUserData(cv, &h);
  /* neighbours three apart; the slab touches the first layer only, through the last column */
  SUNMatrix m = SUNBandMatrix(neq, 2 * EACH - 1, 2 * EACH - 1, ctx);
  SUNLinearSolver ls = SUNLinSol_Band(y, m, ctx);
  CVodeSetLinearSolver(cv, ls, m);
  CVodeSetMaxNumSteps(cv, 1000000);
  struct timespec from, to;
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &from);
  double t = 0;
  *steps = 0;
  for (int i = 0; i < hours; i++) {
    double water = hour(i, &h.air, &h.rh);
    if (water > 0) pour(v, water, h.air);
    CVodeSetStopTime(cv, (i + 1) * 3600.0);
    if (i) CVodeReInit(cv, t, y);
    if (CVode(cv, (i + 1) * 3600.0, y, &t, CV_NORMAL) < 0) {
      fprintf(stderr, "CVODE gave up in hour %d\n", i);
      exit(1);
    }
    long s;
    CVodeGetNumSteps(cv, &s);
    *steps += s;
  }
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &to);
  memcpy(end, v, neq * sizeof *v);
  SUNLinSolFree(ls), SUNMatDestroy(m), N_VDestroy(y), N_VDestroy(atol), CVodeFree(&cv), SUNContext_Free(&ctx);
  return (to.tv_sec - from.tv_sec) + 1e-9 * (to.tv_nsec - from.tv_nsec);
}

/* Reads what is given; gives how many layers and, through all, hours there are. */
int take(int *all) {
  char name[64];
  double x;
  while (scanf("%63s %lf", name, &x) == 2) {
    if (!strcmp(name, "air")) {
      hours = (int)x;
      airC = malloc(hours * sizeof *airC), airRH = malloc(hours * sizeof *airRH);
      for (int i = 0; i < hours; i++)
        if (scanf("%lf %lf", &airC[i], &airRH[i]) != 2) return fprintf(stderr, "the air is cut short\n"), 0;
      break;
    }
    strcpy(given[givens].name, name), given[givens++].value = x;
  }
  layers = (int)get("layers");
  if (layers > MOST) return 0;
  share = get("share"), dryHeat = get("dryHeat"), oxygenHeat = get("oxygenHeat"), perMatter = get("perMatter");
  airU = get("airU"), coverU = get("coverU"), permeance = get("permeance"), gap = get("gap"), leak = get("leak"), airH = get("airH");
  holdsSlow = get("holdsSlow"), holdsAsh = get("holdsAsh"), drain = get("drain"), spread = get("spread"), drySurface = get("drySurface");
  metabolic = get("metabolic"), rate = get("rate"), rateAt = get("rateAt"), minC = get("minC"), bestC = get("bestC"), maxC = get("maxC");
  moistSlope = get("moistSlope"), moistStart = get("moistStart"), organic = get("organic"), ashDensity = get("ashDensity"), airDrained = get("airDrained");
  floorU = get("floorU"), floorDays = get("floorDays"), wallU = get("wallU"), perimeter = get("perimeter"), area = get("area");
  vapour0 = get("vapour0"), vapourPower = get("vapourPower");
  ash0 = get("ash0"), slow0 = get("slow0"), dz0 = get("dz0"), water0 = get("water0"), temp0 = get("temp0");
  poured = get("poured"), pouredEach = get("pouredEach");
  *all = hours;
  return layers;
}

int main(int argc, char **argv) {
  int all = 0;
  if (!take(&all)) return 1;
  for (int i = 1; i < argc; i++) {
    double end[EACH * MOST + 1], best = 1e9;
    long steps = 0;
    for (int r = 0; r < 5; r++) {
      double took = run(atof(argv[i]), end, &steps);
      if (took < best) best = took;
    }
    printf("%s %.9g %ld", argv[i], best, steps);
    for (int j = 0; j < EACH * layers; j++) printf(" %.12g", end[j]);
    printf("\n");
  }
  return 0;
}
