"""How far old pipe may be bent: compliance, strain, force, and how much more must be bare.

Pipe is an elastic beam with rigid elbows; shear is left out (0.7 % of a tip's movement at 15
diameters, 12 % at 4); movements are small beside the lengths (0.6 % error when a 20 in pipe is
pushed 1.5 in). At the soil a path is clamped, or rests on an elastic foundation when its
stiffness is given.
"""
