using CsCheck;
using VibeCheck.FlightMaker;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Tests;

/// <summary>Damaged logs are read or refused, with no other outcome.</summary>
public sealed class FuzzTests : IDisposable
{
    private static readonly string[] s_words =
    [
        "time",
        "acc_x",
        "acc_y",
        "acc_z",
        "_g",
        "[m/s2]",
        "1",
        "-0.5",
        "2e3",
        ",",
        ";",
        "\t",
        "\n",
        "\r\n",
        "\"",
        " ",
        "#",
        "rpm",
        "M1",
        "°C",
        "12:00:00",
        "2026-05-01T10:00:00Z",
    ];

    private readonly string _folder = Directory.CreateTempSubdirectory("vibecheck-fuzz-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    // The long run is "campaigns reading-fuzz --trials 1000000".
    [Fact]
    [Trait("Category", "Slow")]
    public void Changed_sample_logs_are_read_or_refused()
    {
        const int Seed = 7;
        var mutations = new LogMutations([.. LogMutations.Seeds(_folder), .. LogMutations.SampleSeeds(Repository.Sample())], Seed);
        int read = 0;
        for (int i = 0; i < 2000; i++)
        {
            read += ReadsOrRefuses(mutations.Next()) ? 1 : 0;
        }

        // The long run read 42.4 of 100 (docs/reading-speed.md). The share of two thousand scatters by 1.1 about that; four times it is
        // allowed, which detects a reader that accepts damage as data or refuses good logs.
        Assert.InRange(read / 2000.0, 0.424 - 4 * 0.011, 0.424 + 4 * 0.011);
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Any_bytes_are_read_or_refused() =>
        Gen
            .Byte.Array[0, 2000]
            .Sample(
                bytes =>
                {
                    ReadsOrRefuses(bytes);
                },
                iter: 500,
                threads: 1
            );

    [Fact]
    [Trait("Category", "Slow")]
    public void Any_text_of_the_alphabet_of_logs_is_read_or_refused() =>
        Gen.Int[0, s_words.Length - 1]
            .Select(i => s_words[i])
            .Array[0, 400]
            .Sample(
                parts =>
                {
                    ReadsOrRefuses(System.Text.Encoding.UTF8.GetBytes(string.Concat(parts)));
                },
                iter: 1000,
                threads: 1
            );

    /// <summary>Returns true where the bytes were read; a refusal must say what to do.</summary>
    private bool ReadsOrRefuses(byte[] bytes)
    {
        string path = Path.Combine(_folder, "case.csv");
        File.WriteAllBytes(path, bytes);
        try
        {
            LogInspection.Read([path], ReadOptions.Default);
            return true;
        }
        catch (InputFaultException e)
        {
            Assert.NotEmpty(e.Fault.Problem);
            Assert.NotEmpty(e.Fault.Remedy);
            Assert.DoesNotContain(e.Fault.ToString(), char.IsControl);
            return false;
        }
    }
}
