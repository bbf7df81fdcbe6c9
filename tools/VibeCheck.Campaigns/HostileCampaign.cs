using System.Diagnostics;
using System.Globalization;
using System.IO.Compression;
using System.Text;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Campaigns;

/// <summary>Hostile files at full size: each must be refused or read within bounded memory and time. Each case runs in its own process, so
/// that its peak memory is measured alone.</summary>
internal static class HostileCampaign
{
    private const string Header = "time_ms,acc_x_g,acc_y_g,acc_z_g";

    private static readonly (string Name, Action<Stream> Write)[] Cases =
    [
        ("one line of 1 GB", file => Repeat(file, new string('7', 1 << 20), 1000)),
        (
            "a log, then a line of 1 GB",
            file =>
            {
                Log(file, 100_000);
                Repeat(file, new string('x', 1 << 20), 1000);
            }
        ),
        (
            "ten million columns",
            file =>
            {
                for (int row = 0; row < 3; row++)
                {
                    Put(file, row == 0 ? "time_ms" : "1");
                    Repeat(file, string.Concat(Enumerable.Repeat(row == 0 ? ",c" : ",1", 100_000)), 100);
                    Put(file, "\n");
                }
            }
        ),
        (
            "a quote that never closes, 500 MB",
            file =>
            {
                Put(file, Header + ",note\n0,0.1,0.2,-1,\"open\n");
                Repeat(file, string.Concat(Enumerable.Repeat("1,0.1,0.2,-1,x\n", 50_000)), 667);
            }
        ),
        (
            "blank lines packed, 20 GB unpacked",
            file =>
                Packed(
                    file,
                    Encoding.ASCII.GetBytes("0,0.1,0.2,-1\n1,0.1,0.2,-1\n2,0.1,0.2,-1\n"),
                    Encoding.ASCII.GetBytes(new string('\n', 1 << 20)),
                    20_000
                )
        ),
        (
            "equal rows packed, 4 GB unpacked",
            file =>
                Packed(
                    file,
                    Encoding.ASCII.GetBytes(string.Concat(Enumerable.Range(0, 2000).Select(i => i + ",0.1,0.2,-1\n"))),
                    Encoding.ASCII.GetBytes(string.Concat(Enumerable.Repeat("2000,0.1,0.2,-1\n", 80_000))),
                    3_000
                )
        ),
        (
            "blank lines, 1 GB",
            file =>
            {
                Put(file, Header + "\n");
                Repeat(file, new string('\n', 1 << 20), 1000);
            }
        ),
        (
            "NUL bytes, 1 GB",
            file =>
            {
                Put(file, Header + "\n");
                Repeat(file, new string('\0', 1 << 20), 1000);
            }
        ),
        (
            "a million labels",
            file =>
            {
                var text = new StringBuilder("time_s,motor,rpm\n");
                for (int i = 0; i < 1_000_000; i++)
                {
                    text.Append(CultureInfo.InvariantCulture, $"{i * 0.01:F2},motor{i},{3000 + i % 7}\n");
                }

                Put(file, text.ToString());
            }
        ),
        ("comments before the header, 1 GB", file => Repeat(file, string.Concat(Enumerable.Repeat("# nothing\n", 100_000)), 1000)),
    ];

    internal static int Run(string[] rest, TextWriter output)
    {
        if (rest is ["--case", string number, string path])
        {
            return One(int.Parse(number, CultureInfo.InvariantCulture), path, output);
        }

        for (int i = 0; i < Cases.Length; i++)
        {
            string file = Path.Combine(Path.GetTempPath(), "vibecheck-hostile.csv");
            try
            {
                using (FileStream stream = File.Create(file))
                {
                    Cases[i].Write(stream);
                }

                using Process child = Process.Start(
                    new ProcessStartInfo(Environment.ProcessPath!, ["hostile", "--case", i.ToString(CultureInfo.InvariantCulture), file])
                )!;
                child.WaitForExit();
                if (child.ExitCode != 0)
                {
                    return child.ExitCode;
                }
            }
            finally
            {
                File.Delete(file);
            }
        }

        return 0;
    }

    private static int One(int number, string path, TextWriter output)
    {
        var watch = Stopwatch.StartNew();
        string end;
        try
        {
            end = string.Create(CultureInfo.InvariantCulture, $"read, {LogInspection.Read([path], ReadOptions.Default)[0].Rows} rows");
        }
        catch (InputFaultException e)
        {
            end = string.Create(CultureInfo.InvariantCulture, $"refused, line {e.Fault.Line}: {e.Fault.Problem}");
        }

        output.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"{Cases[number].Name, -42} {new FileInfo(path).Length / 1e6, 5:F0} MB  {watch.Elapsed.TotalSeconds, 5:F1} s  peak "
                    + $"{Process.GetCurrentProcess().PeakWorkingSet64 / 1e6, 4:F0} MB  {end}"
            )
        );
        return 0;
    }

    private static void Put(Stream file, string text) => file.Write(Encoding.ASCII.GetBytes(text));

    private static void Repeat(Stream file, string text, int times)
    {
        byte[] bytes = Encoding.ASCII.GetBytes(text);
        for (int i = 0; i < times; i++)
        {
            file.Write(bytes);
        }
    }

    private static void Log(Stream file, int rows)
    {
        var text = new StringBuilder(Header + "\n");
        for (int i = 0; i < rows; i++)
        {
            text.Append(CultureInfo.InvariantCulture, $"{i},0.1,0.2,-1\n");
        }

        Put(file, text.ToString());
    }

    private static void Packed(Stream file, byte[] start, byte[] block, int times)
    {
        using var packed = new GZipStream(file, CompressionLevel.SmallestSize);
        packed.Write(Encoding.ASCII.GetBytes(Header + "\n"));
        packed.Write(start);
        for (int i = 0; i < times; i++)
        {
            packed.Write(block);
        }
    }
}
