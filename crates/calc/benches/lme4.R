# Times lme4 on the readings that the bench hands over: one line for each fit, "seconds criterion what".
# The first is the textbook model of the bench; nothing outside fits the wear model itself.
suppressPackageStartupMessages(library(lme4))
file <- commandArgs(trailingOnly = TRUE)[1]
readings <- read.csv(file, colClasses = c(bearing = "factor", type = "factor", row_pair = "factor", unit = "factor"))
timed <- function(what, formula) {
  # The best of two, as the bench takes its own.
  best <- Inf
  for (i in 1:2) {
    seconds <- system.time(fit <- suppressWarnings(suppressMessages(lmer(formula, readings, REML = TRUE))))[["elapsed"]]
    best <- min(best, seconds)
  }
  cat(sprintf("%.3f %.4f %s\n", best, REMLcrit(fit), what))
}
timed("random line of each row pair", y ~ kh + (kh | unit))
timed("wear of bearing and row pair, start of row pair", y ~ type:kh + type + (0 + kh | bearing) + (0 + kh | unit) + (1 | unit))
