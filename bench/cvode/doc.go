// Package cvode compares the bed's own scheme with SUNDIALS CVODE and with LSODA
// on the same equations of heat and water, in one run: how far they differ and how
// long each takes. bench/cvode/run builds and runs it; Debian's libsundials-dev,
// python3-scipy and a C compiler are needed.
package cvode
