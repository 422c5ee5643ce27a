"""The takeoff as shop sheets (PDF): the printed text set for the ladder, then the drawing."""
