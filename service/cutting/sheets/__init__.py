"""Parts of sheets: how they are nested by through-cuts, and at what least cost."""
