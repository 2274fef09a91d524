// Package rstats compares our statistics of counts with R, which is written by
// others from other sources. bench/rstats/run does it; it needs R (Debian package
// r-base-core) and no package beside it.
package rstats
