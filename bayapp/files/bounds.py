"""The bounds of what is read from people: how large, how deep and how many, each far above what people write.

They stand here alone, beside what the largest shipped file has, so that nobody's honest file meets one. A file beyond a
bound is refused before it is parsed: some kilobytes can otherwise cost gigabytes and minutes.
"""

LARGEST_TOML = 250_000
"""Bytes. The largest vehicle form has 11,500."""

LONGEST_LINE = 8_000
"""Characters of one line of TOML. The longest shipped has 156; a hundred zones in one list have 2,500."""

MOST_LINES = 5_000
"""Lines of one file of TOML, remarks and blank ones too. The largest vehicle form has 471."""

MOST_KEY_PARTS = 6
"""Names in one dotted key or table header. People write two or three; the cost of a key grows with their square."""

DEEPEST = 10
"""Lists and tables in braces inside one another. A table of waits by temperature has three."""

MOST_KEYS = 3_000
"""Keys and tables of one file. The largest vehicle form has 415."""

MOST_KEYS_IN_LINE = 60
"""Keys on one line. A wait in braces with all that can be said of it has nine."""

MOST_ENTRIES = 500
"""Entries of one list, or keys of one table. The largest form has 46 zones; a job of five cars' zones has 230."""

LONGEST_TEXT = 8_000
"""Characters of one text. The longest that any key takes is 1,000."""

LARGEST_WHOLE_NUMBER = 2**53
"""No amount, count or number of a file comes near it; up to here a float is exact."""

MOST_FINDINGS = 100
"""Findings told of one file; nobody reads on, and a wrong file of 3,000 keys would have as many."""

LARGEST_DRAWING = 1_000_000
"""Bytes of an SVG. The largest shipped has 55,000; drawing programs may add some hundred thousand of their own."""

MOST_ELEMENTS = 3_000
"""Elements of an SVG. The largest shipped has 320."""

DEEPEST_ELEMENT = 40
"""Elements inside one another. Shipped drawings have three, drawing programs nest groups in some layers."""

MOST_PATH_POINTS = 3_000
"""Points of one path. The fullest shipped has 762, an outline drawn by hand some dozens."""

MOST_POINTS = 15_000
"""Points of all paths of a drawing. The fullest shipped has 3,600."""

LARGEST_COORDINATE = 1e6
"""Units; no drawing is larger, and far larger ones can be neither measured nor painted."""

MOST_ZONES = 200
"""Zones of one form, because each is compared with each other. The largest form has 46."""

MOST_CROSSINGS = 300
"""Places where outlines of zones cross themselves or each other. There should be none; a sloppy drawing has some
dozens. Cutting, joining and painting a tangle takes minutes."""

MOST_FOLDER_ENTRIES = 1_000
"""Entries of a folder that are looked at. A shop with all its recipes and products has some dozens."""

MOST_SHARED_FILES = 200
"""Files of a stick or folder that are offered for import."""

MOST_FOLDER_BYTES = 1_000_000
"""Bytes of all files of a folder that are read at a time: 200 recipes of the usual size have 400,000."""

MOST_READY_JOBS = 40
"""Job files that are read to list them, the newest; each takes some hundredths of a second with all that it names."""

LARGEST_EVENTS = 5_000_000
"""Bytes of a file of events, which are those of one job: 40,000 events. A day of two cars has 1,000."""

LONGEST_EVENT = 20_000
"""Characters of one line of events. The longest text in one has 500 letters, in JSON at most 6,000 characters."""

LARGEST_PHOTO = 80_000_000
"""Bytes of a photo. A camera of 50 megapixels writes JPEGs of 25,000,000 at its finest."""

MOST_MEGAPIXELS = 120
"""Million pixels of a photo. Telephones have up to 108; one of 108 is scaled within half a second and 80 MB."""

MOST_PHOTO_SIDE = 32_000
"""Pixels of one side: a sweep across a whole car has some 16,000, and a painter of Qt takes no more than 32,767."""

DECODER_MB = 128
"""What a decoder may take for one photo. One that is not stored for scaling, as some JPEGs and all PNGs are, meets it
from some 30 megapixels on."""

LARGEST_THICKNESS_FILE = 500_000
"""Bytes of a file of gauge readings: 2,000 lines with a date and some more columns each have 150,000."""

MOST_THICKNESS_LINES = 2_000
"""Lines of a file of gauge readings. A car measured ten times a zone has some 300."""

MOST_LISTED_PHOTOS = 200
"""Photos of a folder that are offered, the newest; a car has some dozens."""

MOST_CARD_FOLDERS = 50
"""Folders of a camera's card that are looked into, the last by name; a card has some."""
