# Prints what R makes of counts, one case a line: what, a list of lists of what goes in, and
# what comes out. null is for what R has no finite value for.
options(digits = 17)
num <- function(v) paste0("[", paste(ifelse(is.finite(v), sprintf("%.15g", v), "null"), collapse = ","), "]")
case <- function(what, ins, out) cat(sprintf('{"what":"%s","in":[%s],"out":%s}\n', what, paste(sapply(ins, num), collapse = ","), num(out)))

# Exact limits of a count, two-sided.
for (conf in c(0.5, 0.9, 0.95, 0.99)) for (x in c(0, 1, 2, 3, 5, 10, 20, 25, 50, 100, 250, 1000, 20000))
  case("poisson", list(x, conf), as.numeric(poisson.test(x, conf.level = conf)$conf.int))

# Exact limits of a share.
for (conf in c(0.9, 0.95)) for (nx in list(c(20, 0), c(20, 3), c(12, 12), c(400, 1), c(5, 2)))
  case("share", list(nx[2], nx[1], conf), as.numeric(binom.test(nx[2], nx[1], conf.level = conf)$conf.int))

# Two rates: R's p sums points that are as unlikely, the limits are those of Clopper and Pearson.
for (x in list(c(30, 10, 15, 10), c(84, 20, 60, 20), c(12, 25, 30, 40), c(5, 3, 9, 8), c(0, 10, 7, 10), c(200, 12, 260, 17)))
  case("rates", list(x), local({t <- poisson.test(c(x[1], x[3]), c(x[2], x[4])); c(t$conf.int, t$p.value)}))

# Test for clumping, and the k of largest likelihood found by a search of R's own. A k without
# a finite best is left out.
fields <- list(c(0, 12, 1, 3, 0, 25, 2, 7, 0, 4), c(3, 5, 4, 2, 6, 4, 3, 5, 4, 4), c(8, 2, 14, 6, 9, 1, 3, 22, 5, 7, 7, 11),
               c(0, 0, 0, 5, 0, 0, 31, 0, 2, 0), c(120, 95, 160, 88, 133, 101))
for (f in fields) {
  d <- (length(f) - 1) * var(f) / mean(f)
  k <- NA
  if (var(f) > mean(f)) k <- exp(optimize(function(u) sum(dnbinom(f, size = exp(u), mu = mean(f), log = TRUE)), c(-10, 12), maximum = TRUE, tol = 1e-12)$maximum)
  case("clumps", list(f), c(mean(f), var(f), d, pchisq(d, length(f) - 1, lower.tail = FALSE), pchisq(d, length(f) - 1), k))
}

# Limits of a chart for clumped counts.
for (m in c(0.5, 5, 40)) for (k in c(0.3, 2, 50)) for (p in c(0.00135, 0.025))
  case("nbinom", list(c(m, k, p)), c(qnbinom(p, size = k, mu = m), qnbinom(1 - p, size = k, mu = m)))

# Most probable numbers: the likelihood written out by dbinom, its top and the two places where
# it is 3.8415 / 2 lower found by R's own searches.
z <- c(0.1, 0.01, 0.001)
tubes <- function(n, x) {
  ll <- function(u) sum(dbinom(x, n, -expm1(-exp(u) * z), log = TRUE))
  top <- optimize(ll, c(-5, 12), maximum = TRUE, tol = 1e-12)
  drop <- function(u) top$objective - ll(u) - qchisq(0.95, 1) / 2
  low <- suppressWarnings(uniroot(drop, c(-12, top$maximum), tol = 1e-12))$root
  high <- suppressWarnings(uniroot(drop, c(top$maximum, 14), tol = 1e-12))$root
  case("tubes", list(rep_len(n, 3), x), c(exp(top$maximum), exp(low), exp(high)))
}
for (a in 0:3) for (b in 0:3) for (c in 0:3) if (a + b + c > 0 && a + b + c < 9) tubes(3, c(a, b, c))
for (x in list(c(5, 3, 0), c(2, 1, 0), c(5, 5, 4), c(5, 2, 1), c(1, 0, 0))) tubes(5, x)
tubes(10, c(5, 3, 0))

# The difference of two means with variances of their own (Welch).
sides <- list(list(c(61, 64, 63, 60), c(58, 59, 61, 57)), list(c(1.2, 3.4, 2.2), c(2.5, 2.6, 9.1, 4)), list(c(10, 11), c(14, 18)), list(c(5, 5.1, 4.9, 5.2, 5), c(5, 7, 3, 6)))
for (s in sides) for (conf in c(0.9, 0.95)) {
  t <- t.test(s[[1]], s[[2]], conf.level = conf)
  case("difference", list(s[[1]], s[[2]], conf), c(mean(s[[1]]) - mean(s[[2]]), t$conf.int, t$p.value, t$parameter))
}
