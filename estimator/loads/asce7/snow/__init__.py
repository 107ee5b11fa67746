"""Snow by ASCE 7 chapter 7: factors, the even load, drift over the ridge, and what a plane carries. psf on plan."""
