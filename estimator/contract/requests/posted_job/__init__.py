"""A job as it is posted: site and loads, module, roofs, arrays, mounting; each a schema that gives its record."""
