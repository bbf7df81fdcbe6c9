using System.IO.Compression;
using System.Text;

namespace VibeCheck.FlightMaker;

/// <summary>Small logs of many formats, changed at random to resemble damaged or hostile files.</summary>
public sealed class LogMutations(IReadOnlyList<byte[]> seeds, int seed)
{
    private static readonly byte[][] Nasty =
    [
        .. (
            (string[])
                [
                    "\"",
                    "\"\"",
                    "\0",
                    "\r",
                    "\n",
                    ",",
                    ";",
                    "\t",
                    "NaN",
                    "inf",
                    "-",
                    "1e999",
                    "999999999999999999999",
                    "=cmd()",
                    "<b>",
                    "\u00e9",
                    "\ufeff",
                    "#",
                    "//",
                    "2026-01-01T00:00:00Z",
                    "12:00",
                    "0x1F",
                    "1,5",
                ]
        ).Select(Encoding.UTF8.GetBytes),
        [0xff],
        [0xfe, 0xff],
        [0x1f, 0x8b],
        [0xc3],
    ];

    private readonly Random _random = new(seed);

    /// <summary>Short flights in all formats of <see cref="LogForms"/>, IMU and ESC files, about a hundred lines each.</summary>
    public static IReadOnlyList<byte[]> Seeds(string folder)
    {
        SimulatedFlight flight = SimulatedFlight.Make(
            new FlightRecipe
            {
                Airframe = DemoAirframes.Ring(4, "Fuzz", 3, 0.3, 2),
                Seed = 1,
                Rotors = [.. Enumerable.Range(0, 4).Select(_ => new RotorSource([new(1, 0.5)]))],
                GroundS = 0.2,
                ClimbS = 0.2,
                HoverS = 0.5,
                LandingS = 0.1,
                ImuRateHz = 100,
            }
        );
        var all = new List<byte[]>();
        foreach (LogFormRecipe form in LogForms.All)
        {
            (string imu, string? esc) = LogForms.Write(flight, form, folder);
            foreach (string? path in (string?[])[imu, esc])
            {
                if (path is not null)
                {
                    all.Add(File.ReadAllBytes(path));
                    File.Delete(path);
                }
            }
        }

        return all;
    }

    /// <summary>The first lines of every CSV file under a folder, with packed files unpacked: the logs that come with this tool.</summary>
    /// <param name="folder">The folder to search.</param>
    /// <param name="bytes">Approximate size to take from each file; small, so that a case takes a fraction of a millisecond.</param>
    public static IReadOnlyList<byte[]> SampleSeeds(string folder, int bytes = 4000)
    {
        var all = new List<byte[]>();
        foreach (string path in Directory.EnumerateFiles(folder, "*.csv*", SearchOption.AllDirectories).Order(StringComparer.Ordinal))
        {
            using Stream file = File.OpenRead(path);
            using Stream text = path.EndsWith(".gz", StringComparison.Ordinal) ? new GZipStream(file, CompressionMode.Decompress) : file;
            byte[] start = new byte[bytes];
            int got = text.ReadAtLeast(start, bytes, throwOnEndOfStream: false);
            int lastLine = start.AsSpan(0, got).LastIndexOf((byte)'\n');
            all.Add(start[..(lastLine < 0 ? got : lastLine + 1)]);
        }

        return all;
    }

    /// <summary>The next changed log.</summary>
    public byte[] Next()
    {
        List<byte> bytes = [.. seeds[_random.Next(seeds.Count)]];
        int changes = 1 + _random.Next(8);
        for (int i = 0; i < changes && bytes.Count > 0; i++)
        {
            Change(bytes, _random);
        }

        return [.. bytes];
    }

    /// <summary>Changes one byte, a range of bytes or some lines of a file.</summary>
    /// <param name="bytes">The file; one byte or more.</param>
    /// <param name="random">The random generator.</param>
    public static void Change(List<byte> bytes, Random random)
    {
        ArgumentNullException.ThrowIfNull(bytes);
        ArgumentNullException.ThrowIfNull(random);
        int at = random.Next(bytes.Count),
            length = Math.Min(bytes.Count - at, 1 + random.Next(1 << random.Next(9)));
        switch (random.Next(8))
        {
            case 0:
                bytes[at] = (byte)random.Next(256);
                break;
            case 1:
                bytes.RemoveRange(at, length);
                break;
            case 2:
                bytes.InsertRange(random.Next(bytes.Count), bytes.GetRange(at, length));
                break;
            case 3:
                bytes.InsertRange(at, Nasty[random.Next(Nasty.Length)]);
                break;
            case 4:
                bytes.RemoveRange(at, bytes.Count - at);
                break;
            case 5:
                SwapLines(bytes, random);
                break;
            case 6:
                for (int i = at; i < at + length; i++)
                {
                    bytes[i] ^= (byte)(1 << random.Next(8));
                }

                break;
            default:
                byte from = bytes[at],
                    to = bytes[random.Next(bytes.Count)];
                for (int i = 0; i < bytes.Count; i++)
                {
                    bytes[i] = bytes[i] == from ? to : bytes[i];
                }

                break;
        }
    }

    private static void SwapLines(List<byte> bytes, Random random)
    {
        int a = bytes.IndexOf((byte)'\n', random.Next(bytes.Count)) + 1,
            b = bytes.IndexOf((byte)'\n', random.Next(bytes.Count)) + 1;
        if (a > 0 && b > a)
        {
            List<byte> part = bytes.GetRange(a, b - a);
            bytes.RemoveRange(a, b - a);
            bytes.InsertRange(random.Next(bytes.Count + 1), part);
        }
    }
}
