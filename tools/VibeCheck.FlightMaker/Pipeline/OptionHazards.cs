namespace VibeCheck.FlightMaker.Pipeline;

/// <summary>Options of the commands with correct, unusual or wrong values, and output paths.</summary>
internal static class OptionHazards
{
    private static readonly string[] s_numbers =
    [
        "0",
        "1",
        "-1",
        "0.5",
        "0,5",
        "21",
        "100",
        "1000",
        "1e6",
        "1e308",
        "1e400",
        "-1e9",
        "nan",
        "inf",
        "x",
        "1.2.3",
        "99999999999999999999",
        "1e-9",
        "70",
    ];
    private static readonly string[] s_units =
    [
        "s",
        "ms",
        "us",
        "ns",
        "g",
        "mg",
        "m/s2",
        "deg/s",
        "rad/s",
        "mdeg/s",
        "counts",
        "rpm",
        "x",
        "µs",
        "%",
        "\u001b[31m",
    ];
    private static readonly string[] s_orders =
    [
        "1",
        "1,2,3",
        "200",
        "201",
        "0",
        "-1",
        "1 1 1",
        "1.5",
        ",",
        "2,,4",
        "1,2,3,4,5,6,7,8,9,10,11,12",
    ];

    private static readonly (string Name, string[] Values)[] s_log =
    [
        ("--imu-unit", s_numbers),
        ("--time-unit", s_units),
        ("--acc-unit", s_units),
        ("--rate-unit", s_units),
        ("--counts-per-g", s_numbers),
        ("--rows-per-second", s_numbers),
        ("--clock-offset", s_numbers),
        ("--max-unusable", s_numbers),
        ("--ambient", s_numbers),
        ("--orders", s_orders),
    ];

    /// <summary>Picks one option of a log with one of its values.</summary>
    internal static string[] OfFlight(Random random)
    {
        (string name, string[] values) = s_log[random.Next(s_log.Length)];
        return [name, values[random.Next(values.Length)]];
    }

    /// <summary>Picks an output option with its path: standard output, a new file, an input, a folder, a path in a missing folder, a
    /// device, or a name that is too long.</summary>
    internal static string[] Output(Random random, string folder, IReadOnlyList<string> inputs)
    {
        string place = random.Next(12) switch
        {
            0 or 1 or 2 => "-",
            3 or 4 or 5 => Path.Combine(folder, "out"),
            6 => inputs[random.Next(inputs.Count)],
            7 => folder,
            8 => Path.Combine(folder, "none", "out"),
            9 => "/dev/null",
            10 => OperatingSystem.IsLinux() ? "/dev/full" : "",
            _ => new string('x', 300),
        };

        // Drawing takes a tenth of a second and hardly depends on the flight, so it is rare.
        return [random.Next(4) == 0 ? "--report" : "--json", place];
    }
}
